// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/corners.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace paleproof::survey {
namespace {

constexpr Mm least_radius{0.8};
constexpr Mm most_radius{8.0};
constexpr double most_misfit = 2.0;  // px, and as much again per 300 ppi
constexpr int same = 24;             // codes: JPEG rings beside the curve

/// Reads a corner as if it were the top left one.
struct CornerView {
    const Image& image;
    RectPx area;
    bool right, bottom;
    [[nodiscard]] const std::uint8_t* at(int x, int y) const {
        const int px = right ? area.right() - 1 - x : area.x + x;
        const int py = bottom ? area.bottom() - 1 - y : area.y + y;
        return image.row(py) + static_cast<std::ptrdiff_t>(px) * image.channels();
    }
};

/// How far the outside reaches along each row, in pixels and their parts.
template <class Outside>
double radius_of(const Outside& outside, int window, Ppi ppi) {
    std::vector<double> runs;
    double sum = 0.0;
    for (int y = 0; y < window; ++y) {
        double run = 0.0;
        for (int x = 0; x < window; ++x) {
            const double share = outside(x, y);
            run += share;
            if (share < 0.999) {
                // One more pixel may be half outside; then the curve is crossed.
                if (x + 1 < window && share > 0.001) run += std::min(0.5, outside(x + 1, y));
                break;
            }
        }
        if (run >= window - 1.0) return 0.0;
        runs.push_back(run);
        sum += run;
        if (run <= 0.0) break;
    }
    const double radius = std::sqrt(sum / (1.0 - std::numbers::pi / 4.0));
    if (radius < pixels(least_radius, ppi) || radius > pixels(most_radius, ppi)) return 0.0;
    const double allowed = most_misfit * std::max(1.0, ppi.value / 300.0);
    for (std::size_t y = 0; y < runs.size(); ++y) {
        const double down = std::max(0.0, radius - static_cast<double>(y) - 0.5);
        const double expected = radius - std::sqrt(std::max(0.0, radius * radius - down * down));
        // The first rows graze the curve: there a pixel more or less of height is many of width.
        const double slack = y < 3 ? 4.0 * allowed : allowed;
        if (std::abs(runs[y] - expected) > slack) return 0.0;
    }
    return radius;
}

RoundCorner corner(const Image& image, const std::optional<Image>& mask, RectPx area, Ppi ppi,
                   bool right, bool bottom) {
    const int window =
        std::min({static_cast<int>(pixels(most_radius, ppi)) + 4, area.width / 2, area.height / 2});
    if (window < 3) return {};
    if (mask) {
        const CornerView view{*mask, area, right, bottom};
        const double radius =
            radius_of([&](int x, int y) { return 1.0 - *view.at(x, y) / 255.0; }, window, ppi);
        if (radius > 0.0) return {radius};
    }
    const CornerView view{image, area, right, bottom};
    const std::uint8_t* first = view.at(0, 0);
    const bool white = std::all_of(first, first + image.channels(),
                                   [](std::uint8_t c) { return c >= 255 - same; });
    const bool black =
        std::all_of(first, first + image.channels(), [](std::uint8_t c) { return c <= same; });
    if (!white && !black) return {};
    const int limit = same;
    const auto outside = [&](int x, int y) {
        const std::uint8_t* pixel = view.at(x, y);
        int most = 0;
        for (int c = 0; c < image.channels(); ++c) {
            most = std::max(most, white ? 255 - pixel[c] : static_cast<int>(pixel[c]));
        }
        return most <= limit ? 1.0 : 0.0;
    };
    return {radius_of(outside, window, ppi)};
}

}  // namespace

RoundCorners round_corners(const Image& image, const std::optional<Image>& mask, RectPx area,
                           Ppi ppi) {
    return {corner(image, mask, area, ppi, false, false),
            corner(image, mask, area, ppi, true, false), corner(image, mask, area, ppi, true, true),
            corner(image, mask, area, ppi, false, true)};
}

}  // namespace paleproof::survey
