// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/flow.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace paleproof::filters {
namespace {

/// Largest slope that is carried at full weight, and the one at which nothing is left.
constexpr float steep = 3.5F;
constexpr float too_steep = 5.0F;
constexpr float noise_energy = 4.0F;  // squared codes per pixel: rounding and JPEG noise

// Tuned on the pictures of tests/bench/bleed_quality.cpp, in pixels; the optimum is broad.
constexpr int tensor_depth = 22;     // rows that are read
constexpr float first_reach = 5.0F;  // standard deviation of the weight over depth, first round
constexpr float second_reach = 6.0F;
constexpr float along_reach = 3.0F;
constexpr float near_reach = 2.0F;  // how far a line's slope holds beside it
constexpr float far_reach = 30.0F;  // and how far where nothing else is
constexpr float far_share = 0.1F;
constexpr float rest_share = 0.4F;  // weight of what has no direction: it goes straight out

using Line = std::vector<float>;

Line lightness(const EdgeStrip& strip, int rows) {
    Line result(static_cast<std::size_t>(strip.length) * static_cast<std::size_t>(rows));
    const float* in = strip.values.data();
    for (float& value : result) {
        // Weights near those of luma; any would do.
        value = strip.channels == 3 ? 0.3F * in[0] + 0.6F * in[1] + 0.1F * in[2] : in[0];
        in += strip.channels;
    }
    return result;
}

/// Energy and energy times slope, to be gathered from near and from far: four lines in step.
using Four = std::array<float, 4>;

/// Sum to both sides with weights exp(-distance / reach).
void spread(std::vector<Four>& line, const Four& reach) {
    Four keep{};
    for (std::size_t k = 0; k < 4; ++k) keep[k] = std::exp(-1.0F / reach[k]);
    std::vector<Four> left(line.size());
    Four running{};
    for (std::size_t x = 0; x < line.size(); ++x) {
        for (std::size_t k = 0; k < 4; ++k) running[k] = running[k] * keep[k] + line[x][k];
        left[x] = running;
    }
    running = {};
    for (std::size_t x = line.size(); x-- > 0;) {
        const Four own = line[x];
        for (std::size_t k = 0; k < 4; ++k) {
            line[x][k] = left[x][k] + running[k];
            running[k] = (running[k] + own[k]) * keep[k];
        }
    }
}

constexpr int stairs_margin = 5;  // rows near the edge that the softening has bent

/// Binomial kernel of 9 along the edge and inward: standard deviation 1.4 px.
void soften(Line& light, int length, int depth) {
    const auto pass = [](float* values, int count, int step) {
        for (int round = 0; round < 4; ++round) {
            float before = values[0];
            for (int i = 0; i < count; ++i) {
                float& here = values[i * step];
                const float after = values[std::min(i + 1, count - 1) * step];
                const float own = here;
                here = 0.25F * before + 0.5F * own + 0.25F * after;
                before = own;
            }
        }
    };
    for (int r = 0; r < depth; ++r)
        pass(light.data() + static_cast<std::ptrdiff_t>(r) * length, length, 1);
    for (int x = 0; x < length; ++x) pass(light.data() + x, depth, length);
}

struct Tensor {
    Line xx, xo, oo;  ///< along the edge, mixed, outward
};

/// Gradient products of one row (Scharr's kernel, which keeps angles), outward positive.
void products(const Line& light, int length, int row, Tensor& out) {
    const auto at = [&](int r) { return light.data() + static_cast<std::ptrdiff_t>(r) * length; };
    const float* outer = at(row - 1);
    const float* mid = at(row);
    const float* inner = at(row + 1);
    for (int x = 0; x < length; ++x) {
        const int a = std::max(x - 1, 0);
        const int b = std::min(x + 1, length - 1);
        const float gx =
            (3.0F * (outer[b] - outer[a] + inner[b] - inner[a]) + 10.0F * (mid[b] - mid[a])) /
            32.0F;
        const float go =
            (3.0F * (outer[a] - inner[a] + outer[b] - inner[b]) + 10.0F * (outer[x] - inner[x])) /
            32.0F;
        const auto i = static_cast<std::size_t>(x);
        out.xx[i] = gx * gx;
        out.xo[i] = gx * go;
        out.oo[i] = go * go;
    }
}

struct Directions {
    Line slope, weight, rest;  ///< weight: energy with a direction; rest: energy without
};

Directions directions(const Tensor& sum) {
    const std::size_t n = sum.xx.size();
    Directions result{Line(n), Line(n), Line(n)};
    for (std::size_t x = 0; x < n; ++x) {
        const float xx = sum.xx[x];
        const float xo = sum.xo[x];
        const float oo = sum.oo[x];
        const float trace = xx + oo;
        const float gap = std::sqrt((xx - oo) * (xx - oo) + 4.0F * xo * xo);
        // Eigenvector of the smaller eigenvalue (trace - gap) / 2, written as along / outward.
        const float small = (trace - gap) / 2.0F;
        const float along = xo;
        const float outward = small - xx;
        float slope = 0.0F;
        if (std::abs(outward) > 1e-6F) slope = along / outward;
        const float coherence = trace > 0.0F ? gap / trace : 0.0F;
        const float fit =
            std::clamp((too_steep - std::abs(slope)) / (too_steep - steep), 0.0F, 1.0F);
        const float share = coherence * std::sqrt(coherence) * fit;
        result.slope[x] = std::clamp(slope, -too_steep, too_steep);
        result.weight[x] = trace * share;
        result.rest[x] = trace * (1.0F - share);
    }
    return result;
}

Directions gathered(const Line& light, int length, int first, int depth, float reach, float along,
                    const Line* slopes) {
    const auto n = static_cast<std::size_t>(length);
    Tensor sum{Line(n), Line(n), Line(n)};
    Tensor row{Line(n), Line(n), Line(n)};
    float total = 0.0F;
    for (int r = first; r + 1 < depth; ++r) {
        const float t = static_cast<float>(r - first) / reach;
        const float weight = std::exp(-0.5F * t * t);
        if (weight < 0.02F) break;
        products(light, length, r, row);
        total += weight;
        for (int x = 0; x < length; ++x) {
            const auto i = static_cast<std::size_t>(x);
            int from = x;
            if (slopes != nullptr) {
                from = std::clamp(
                    x - static_cast<int>(std::lround((*slopes)[i] * static_cast<float>(r))), 0,
                    length - 1);
            }
            const auto j = static_cast<std::size_t>(from);
            sum.xx[i] += weight * row.xx[j];
            sum.xo[i] += weight * row.xo[j];
            sum.oo[i] += weight * row.oo[j];
        }
    }
    if (total > 0.0F) {
        std::vector<Four> all(n);
        for (std::size_t i = 0; i < n; ++i) {
            all[i] = {sum.xx[i] / total, sum.xo[i] / total, sum.oo[i] / total, 0.0F};
        }
        spread(all, {along, along, along, along});
        for (std::size_t i = 0; i < n; ++i) {
            sum.xx[i] = all[i][0];
            sum.xo[i] = all[i][1];
            sum.oo[i] = all[i][2];
        }
    }
    return directions(sum);
}

/// Follows the lines from the edge into what is missing: where those that were found at the edge
/// come to lie, and how well they agree there, for each row of the result.
void lead_outward(const Directions& found, Flow& result) {
    const int length = result.length;
    const int rows = result.rows;
    const auto n = static_cast<std::size_t>(length);
    std::vector<Four> rest_sums(n);
    for (std::size_t i = 0; i < n; ++i) rest_sums[i] = {found.rest[i]};
    spread(rest_sums, {near_reach, near_reach, near_reach, near_reach});
    Line rest(n);
    for (std::size_t i = 0; i < n; ++i) rest[i] = rest_sums[i][0];
    std::vector<Four> sums(n);
    // Two rows share one look, taken at the first of them: lines that cross the edge hardly move.
    for (int d = 1; d <= rows; d += 2) {
        std::ranges::fill(sums, Four{});
        for (int x = 0; x < length; ++x) {
            const auto i = static_cast<std::size_t>(x);
            const float to = static_cast<float>(x) + found.slope[i] * static_cast<float>(d);
            int left = static_cast<int>(to);
            if (static_cast<float>(left) > to) --left;
            const float share = to - static_cast<float>(left);
            const float energy = found.weight[i];
            const auto leave = [&](int at, float part) {
                if (at < 0 || at >= length) return;
                Four& sum = sums[static_cast<std::size_t>(at)];
                sum[0] += part;
                sum[1] += part * found.slope[i];
            };
            leave(left, energy * (1.0F - share));
            leave(left + 1, energy * share);
        }
        for (Four& sum : sums) {
            sum[2] = sum[0];
            sum[3] = sum[1];
        }
        spread(sums, {near_reach, near_reach, far_reach, far_reach});
        float* slope = result.slope.data() + static_cast<std::ptrdiff_t>(d - 1) * length;
        float* coherence = result.coherence.data() + static_cast<std::ptrdiff_t>(d - 1) * length;
        for (std::size_t i = 0; i < n; ++i) {
            const Four& sum = sums[i];
            const float w = sum[0] + far_share * sum[2];
            const float t = sum[1] + far_share * sum[3];
            slope[i] = t / (w + rest_share * rest[i] + 0.3F * noise_energy);
            coherence[i] = sum[0] / (sum[0] + rest[i] + noise_energy);
        }
        if (d < rows) {
            std::copy_n(slope, length, slope + length);
            std::copy_n(coherence, length, coherence + length);
        }
    }
}

}  // namespace

Flow flow(const EdgeStrip& inside, int rows, bool stairs) {
    Flow result;
    flow(inside, rows, stairs, result);
    return result;
}

void flow(const EdgeStrip& inside, int rows, bool stairs, Flow& result) {
    const int length = inside.length;
    const int depth = std::min(inside.rows, stairs ? 2 * tensor_depth : tensor_depth);
    result.length = length;
    result.rows = rows;
    const auto count = static_cast<std::size_t>(length) * static_cast<std::size_t>(rows);
    if (depth < 3 || length < 3) {
        result.slope.assign(count, 0.0F);
        result.coherence.assign(count, 0.0F);
        return;
    }
    result.slope.resize(count);
    result.coherence.resize(count);

    Line light = lightness(inside, depth);
    int first = 1;
    float reach = second_reach;
    if (stairs && depth > 3 * stairs_margin) {
        soften(light, length, depth);
        first = stairs_margin;
        reach = 2.0F * second_reach;
    }
    Directions found = gathered(light, length, first, depth, first_reach, along_reach, nullptr);
    found = gathered(light, length, first, depth, reach, along_reach, &found.slope);
    lead_outward(found, result);
}

}  // namespace paleproof::filters
