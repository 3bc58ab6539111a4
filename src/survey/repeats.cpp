// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/repeats.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "survey/edge_view.h"

namespace paleproof::survey {
namespace {

constexpr Mm strip_width{3.0};
constexpr Mm farthest{9.0};
constexpr Mm farthest_along{6.0};
constexpr double least_likeness = 0.94;
constexpr double nearly = 0.01;
constexpr double dip = 0.7;
constexpr double least_contrast = 6.0;  // standard deviation, codes
constexpr int least_step = 4;           // px

RepeatStep repeat(const Image& image, RectPx area, Side side, Ppi ppi) {
    const EdgeView edge(image, area, side);
    const int strip = static_cast<int>(std::lround(pixels(strip_width, ppi)));
    const int reach =
        std::min(static_cast<int>(std::lround(pixels(farthest, ppi))), edge.depth() - strip);
    const int aside =
        std::min(static_cast<int>(std::lround(pixels(farthest_along, ppi))), edge.length() / 5);
    if (strip < 8 || reach < least_step || edge.length() < 4 * strip) return {};
    cv::Mat art(strip + reach, edge.length(), CV_32FC1);
    for (int r = 0; r < art.rows; ++r) {
        float* row = art.ptr<float>(r);
        for (int x = 0; x < art.cols; ++x) row[x] = edge.light(r, x);
    }
    const cv::Mat sample = art(cv::Rect(aside, 0, art.cols - 2 * aside, strip));
    cv::Scalar mean;
    cv::Scalar deviation;
    cv::meanStdDev(sample, mean, deviation);
    if (deviation[0] < least_contrast) return {};
    cv::Mat likeness;  // [inward][along + aside]
    cv::matchTemplate(art, sample, likeness, cv::TM_CCOEFF_NORMED);

    // The best step, past the first dip in every row that leads to it.
    double best = 0.0;
    double lowest = 1.0;
    int begin = likeness.rows;
    for (int r = 1; r < likeness.rows; ++r) {
        lowest = std::min(lowest, static_cast<double>(likeness.at<float>(r, aside)));
        if (r < least_step || lowest > dip) continue;
        begin = std::min(begin, r);
        double most = 0.0;
        cv::minMaxLoc(likeness.row(r), nullptr, &most);
        best = std::max(best, most);
    }
    if (best < least_likeness) return {};
    for (int r = begin; r < likeness.rows; ++r) {
        double most = 0.0;
        cv::Point at;
        cv::minMaxLoc(likeness.row(r), nullptr, &most, nullptr, &at);
        const double after = r + 1 < likeness.rows ? likeness.at<float>(r + 1, at.x) : 0.0;
        if (most < best - nearly || after > most) continue;
        // Of several places along the edge that are as good, the nearest.
        int along = at.x - aside;
        for (int x = 0; x < likeness.cols; ++x) {
            const bool peak =
                (x == 0 || likeness.at<float>(r, x - 1) <= likeness.at<float>(r, x)) &&
                (x + 1 == likeness.cols ||
                 likeness.at<float>(r, x + 1) <= likeness.at<float>(r, x));
            if (peak && likeness.at<float>(r, x) >= most - nearly &&
                std::abs(x - aside) < std::abs(along)) {
                along = x - aside;
            }
        }
        return {along, r, most};
    }
    return {};
}

}  // namespace

Edges<RepeatStep> repeats(const Image& image, RectPx area, Ppi ppi) {
    return {repeat(image, area, Side::top, ppi), repeat(image, area, Side::right, ppi),
            repeat(image, area, Side::bottom, ppi), repeat(image, area, Side::left, ppi)};
}

}  // namespace paleproof::survey
