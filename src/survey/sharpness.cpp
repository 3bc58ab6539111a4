// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/sharpness.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

namespace paleproof::survey {
namespace {

constexpr Mm tile_size{5.0};
constexpr float strong = 40.0F;
constexpr std::size_t enough_edges = 20;
constexpr std::size_t enough_tiles = 6;
constexpr int reach = 4;
constexpr double line_art_share = 0.97;

using Row = std::vector<float>;

/// Lightness of a row of pixels as a plain mean of weights 0.3, 0.6, 0.1.
void lights_of(const std::uint8_t* in, int channels, int count, float* out) {
    if (channels == 1) {
        for (int x = 0; x < count; ++x) out[x] = static_cast<float>(in[x]);
        return;
    }
    for (int x = 0; x < count; ++x, in += 3) {
        out[x] = 0.3F * static_cast<float>(in[0]) + 0.6F * static_cast<float>(in[1]) +
                 0.1F * static_cast<float>(in[2]);
    }
}

/// Room for what is known of a line of pixels.
struct LineRoom {
    std::vector<float> steps;
    std::vector<int> places;
    explicit LineRoom(std::size_t length) : steps(length), places(length) {}
};

/// Widths of the strong edges across one line of pixels.
void edge_widths(const float* line, int count, LineRoom& room, std::vector<float>& widths) {
    float* steps = room.steps.data();
    for (int i = 0; i + 1 < count; ++i) steps[i] = std::abs(line[i + 1] - line[i]);
    // Only the steepest step of an edge tells its width. Whether one is there follows no pattern
    // that a processor could guess, so the places are collected without a branch.
    std::size_t found = 0;
    for (int i = reach; i + 1 + reach < count; ++i) {
        room.places[found] = i;
        const bool steep = steps[i] >= strong / 4.0F;
        const bool top =
            static_cast<int>(steps[i] >= steps[i - 1]) & static_cast<int>(steps[i] >= steps[i + 1]);
        found += static_cast<std::size_t>(static_cast<int>(steep) & static_cast<int>(top));
    }
    for (std::size_t n = 0; n < found; ++n) {
        const int i = room.places[n];
        const float step = steps[i];
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
    const int tile = std::max(24, static_cast<int>(std::lround(pixels(tile_size, ppi))));
    std::size_t extreme = 0;
    std::size_t dark = 0;
    std::vector<double> tiles;
    std::vector<float> widths;
    Row light(static_cast<std::size_t>(tile) * static_cast<std::size_t>(tile));
    Row turned(light.size());
    LineRoom room(static_cast<std::size_t>(tile));
    for (int y = 0; y < area.height; y += tile) {
        for (int x = 0; x < area.width; x += tile) {
            const int w = std::min(tile, area.width - x);
            const int h = std::min(tile, area.height - y);
            for (int j = 0; j < h; ++j) {
                float* row = light.data() + static_cast<std::ptrdiff_t>(j) * w;
                lights_of(image.row(area.y + y + j) +
                              static_cast<std::ptrdiff_t>(area.x + x) * image.channels(),
                          image.channels(), w, row);
                unsigned dark_here = 0;
                unsigned light_here = 0;
                for (int i = 0; i < w; ++i) {
                    dark_here += row[i] <= 40.0F ? 1U : 0U;
                    light_here += row[i] >= 215.0F ? 1U : 0U;
                }
                dark += dark_here;
                extreme += dark_here + light_here;
            }
            for (int i = 0; i < w; ++i) {
                for (int j = 0; j < h; ++j) {
                    turned[static_cast<std::size_t>(i * h + j)] =
                        light[static_cast<std::size_t>(j * w + i)];
                }
            }
            widths.clear();
            for (int j = 0; j < h; ++j) {
                edge_widths(light.data() + static_cast<std::ptrdiff_t>(j) * w, w, room, widths);
            }
            for (int i = 0; i < w; ++i) {
                edge_widths(turned.data() + static_cast<std::ptrdiff_t>(i) * h, h, room, widths);
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
