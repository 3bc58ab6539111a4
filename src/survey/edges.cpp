// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/edges.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace paleproof::survey {
namespace {

constexpr double flat_spread = 6.0;
constexpr Mm strip_width{1.0};

EdgeSurvey strip_survey(const Image& image, RectPx strip) {
    const int channels = image.channels();
    std::array<std::uint64_t, 3> sum{};
    std::array<std::uint64_t, 3> squares{};
    for (int y = strip.y; y < strip.bottom(); ++y) {
        const std::uint8_t* pixel = image.row(y) + static_cast<std::ptrdiff_t>(strip.x) * channels;
        for (int x = 0; x < strip.width; ++x) {
            for (int c = 0; c < channels; ++c, ++pixel) {
                const auto channel = static_cast<std::size_t>(c);
                sum[channel] += *pixel;
                squares[channel] += static_cast<std::uint64_t>(*pixel) * *pixel;
            }
        }
    }
    EdgeSurvey result;
    const double count = static_cast<double>(strip.width) * strip.height;
    for (int c = 0; c < channels; ++c) {
        const auto channel = static_cast<std::size_t>(c);
        const double mean = static_cast<double>(sum[channel]) / count;
        const double variance = static_cast<double>(squares[channel]) / count - mean * mean;
        result.spread = std::max(result.spread, std::sqrt(std::max(0.0, variance)));
    }
    result.flat = result.spread < flat_spread;
    return result;
}

}  // namespace

Edges<EdgeSurvey> edges(const Image& image, RectPx area, Ppi ppi) {
    const int wanted = std::max(2, static_cast<int>(std::lround(pixels(strip_width, ppi))));
    const int across = std::min(wanted, area.width);
    const int down = std::min(wanted, area.height);
    return {strip_survey(image, {area.x, area.y, area.width, down}),
            strip_survey(image, {area.right() - across, area.y, across, area.height}),
            strip_survey(image, {area.x, area.bottom() - down, area.width, down}),
            strip_survey(image, {area.x, area.y, across, area.height})};
}

}  // namespace paleproof::survey
