// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/edge_keep.h"

#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>

namespace paleproof::filters {
namespace {

constexpr int rounds = 2;

Plane turned(const Plane& in) {
    Plane out(in.height, in.width);
    cv::transpose(cv::Mat(in.height, in.width, CV_32FC1, const_cast<float*>(in.values.data())),
                  cv::Mat(out.height, out.width, CV_32FC1, out.values.data()));
    return out;
}

/// How much of its upper neighbor each place takes: a^(1 + reach/step |difference|), row 0 none.
Plane links(const Plane& picture, double reach, double step, double a) {
    std::array<float, 256> of_difference{};
    for (std::size_t d = 0; d < of_difference.size(); ++d) {
        of_difference[d] =
            static_cast<float>(std::pow(a, 1.0 + reach / step * static_cast<double>(d)));
    }
    Plane result(picture.width, picture.height);
    for (int y = 1; y < picture.height; ++y) {
        const float* above = picture.row(y - 1);
        const float* here = picture.row(y);
        float* out = result.row(y);
        for (int x = 0; x < picture.width; ++x) {
            const float d = std::min(std::abs(here[x] - above[x]) + 0.5F, 255.0F);
            out[x] = of_difference[static_cast<std::size_t>(d)];
        }
    }
    return result;
}

/// J[n] = I[n] + V (J[n-1] - I[n]) down the columns, then up.
void run_through(Plane& picture, const Plane& link) {
    for (int y = 1; y < picture.height; ++y) {
        const float* above = picture.row(y - 1);
        const float* v = link.row(y);
        float* here = picture.row(y);
        for (int x = 0; x < picture.width; ++x) here[x] += v[x] * (above[x] - here[x]);
    }
    for (int y = picture.height - 2; y >= 0; --y) {
        const float* below = picture.row(y + 1);
        const float* v = link.row(y + 1);
        float* here = picture.row(y);
        for (int x = 0; x < picture.width; ++x) here[x] += v[x] * (below[x] - here[x]);
    }
}

}  // namespace

Plane edge_keep(const Plane& picture, Ppi ppi, const EdgeKeep& p) {
    check_fields(p, edge_keep_fields);
    const double reach = pixels(Mm{p.reach_mm}, ppi);
    // Deviation of round i of N: reach sqrt(3) 2^(N-i) / sqrt(4^N - 1); the second is half of the
    // first, and a = exp(-sqrt(2) / deviation), so its links are the squares of the first ones.
    const double first = reach * std::sqrt(3.0) * 2.0 / std::sqrt(15.0);
    const double a = std::exp(-std::sqrt(2.0) / first);
    Plane down = links(picture, reach, p.step, a);
    Plane across = links(turned(picture), reach, p.step, a);
    Plane result = picture;
    for (int round = 0; round < rounds; ++round) {
        result = turned(result);
        run_through(result, across);
        result = turned(result);
        run_through(result, down);
        if (round + 1 == rounds) break;
        for (float& v : down.values) v *= v;
        for (float& v : across.values) v *= v;
    }
    return result;
}

}  // namespace paleproof::filters
