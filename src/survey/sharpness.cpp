// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/sharpness.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "survey/edge_view.h"

namespace paleproof::survey {
namespace {

constexpr Mm tile_size{5.0};
constexpr float strong = 40.0F;
constexpr std::size_t enough_edges = 20;
constexpr std::size_t enough_tiles = 6;
constexpr int reach = 4;
constexpr double line_art_share = 0.97;

using Row = std::vector<float>;

/// Widths of the strong edges across one line of pixels.
void edge_widths(const float* line, int count, std::vector<float>& widths) {
    for (int i = reach; i + 1 + reach < count; ++i) {
        const float step = std::abs(line[i + 1] - line[i]);
        if (step < strong / 4.0F) continue;
        // Only the steepest step of an edge tells its width.
        if (step < std::abs(line[i] - line[i - 1]) || step < std::abs(line[i + 2] - line[i + 1])) {
            continue;
        }
        const bool up = line[i + 1] > line[i];
        float low = std::min(line[i], line[i + 1]);
        float high = std::max(line[i], line[i + 1]);
        for (int k = 1; k <= reach; ++k) {
            const float before = line[i - k];
            const float after = line[i + 1 + k];
            low = std::min(low, up ? before : after);
            high = std::max(high, up ? after : before);
        }
        if (high - low >= strong) widths.push_back((high - low) / step);
    }
}

double sharpest_tenth(std::vector<float>& widths) {
    const auto at = widths.begin() + static_cast<std::ptrdiff_t>(widths.size() / 10);
    std::nth_element(widths.begin(), at, widths.end());
    return *at;
}

}  // namespace

Sharpness sharpness(const Image& image, RectPx area, Ppi ppi) {
    Sharpness result;
    const EdgeView view(image, area, Side::top);
    const int tile = std::max(24, static_cast<int>(std::lround(pixels(tile_size, ppi))));
    std::size_t extreme = 0;
    std::size_t dark = 0;
    std::vector<double> tiles;
    std::vector<float> widths;
    Row light(static_cast<std::size_t>(tile) * static_cast<std::size_t>(tile));
    Row turned(light.size());
    for (int y = 0; y < view.depth(); y += tile) {
        for (int x = 0; x < view.length(); x += tile) {
            const int w = std::min(tile, view.length() - x);
            const int h = std::min(tile, view.depth() - y);
            for (int j = 0; j < h; ++j) {
                for (int i = 0; i < w; ++i) {
                    const float value = view.light(y + j, x + i);
                    light[static_cast<std::size_t>(j * w + i)] = value;
                    turned[static_cast<std::size_t>(i * h + j)] = value;
                    extreme += value <= 40.0F || value >= 215.0F ? 1U : 0U;
                    dark += value <= 40.0F ? 1U : 0U;
                }
            }
            widths.clear();
            for (int j = 0; j < h; ++j) {
                edge_widths(light.data() + static_cast<std::ptrdiff_t>(j) * w, w, widths);
            }
            for (int i = 0; i < w; ++i) {
                edge_widths(turned.data() + static_cast<std::ptrdiff_t>(i) * h, h, widths);
            }
            if (widths.size() >= enough_edges) tiles.push_back(sharpest_tenth(widths));
        }
    }
    const double count = static_cast<double>(area.width) * area.height;
    result.line_art = image.encoding() == Encoding::bilevel ||
                      (static_cast<double>(extreme) > line_art_share * count &&
                       static_cast<double>(dark) > 0.002 * count);
    if (tiles.size() >= enough_tiles) {
        std::ranges::sort(tiles);
        result.edge_px = tiles[tiles.size() / 2];
    }
    return result;
}

}  // namespace paleproof::survey
