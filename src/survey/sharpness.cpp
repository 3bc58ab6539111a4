// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/sharpness.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <vector>

#include "core/wide.h"

namespace paleproof::survey {
namespace {

constexpr Mm tile_size{5.0};
constexpr int one = 10;  // a code of lightness: 3 r + 6 g + b are whole tenths
constexpr int strong = 40 * one;
constexpr int steep = strong / 4;
constexpr int darkest = 40 * one;
constexpr int lightest = 215 * one;
constexpr std::size_t enough_edges = 20;
constexpr std::size_t enough_tiles = 6;
constexpr int reach = 4;
constexpr double line_art_share = 0.97;

/// Lightness of a row of pixels in tenths of a code: a plain mean of weights 0.3, 0.6, 0.1.
void lights_of(const std::uint8_t* in, int channels, int count, std::uint16_t* out) {
    if (channels == 1) {
        for (int x = 0; x < count; ++x) out[x] = static_cast<std::uint16_t>(one * in[x]);
        return;
    }
    wide([=] {
        for (int x = 0; x < count; ++x) {
            out[x] = static_cast<std::uint16_t>(3 * in[3 * x] + 6 * in[3 * x + 1] + in[3 * x + 2]);
        }
    });
}

struct Extremes {
    std::size_t dark = 0, light = 0;
};

/// Pixels that are near black, and near white.
Extremes extremes_of(const std::uint16_t* row, int count) {
    Extremes found;
    Extremes* to = &found;
    wide([=] {
        // Rows of up to 65,535 pixels a time are counted in 16 bits.
        for (int begin = 0; begin < count; begin += 65535) {
            const int end = std::min(count, begin + 65535);
            std::uint16_t dark = 0, light = 0;
            for (int x = begin; x < end; ++x) {
                dark = static_cast<std::uint16_t>(dark + (row[x] <= darkest ? 1 : 0));
                light = static_cast<std::uint16_t>(light + (row[x] >= lightest ? 1 : 0));
            }
            to->dark += dark;
            to->light += light;
        }
    });
    return found;
}

/// How far the lightness goes from each pixel of `a` to that of `b` in the same place.
void steps_between(const std::uint16_t* a, const std::uint16_t* b, int count, std::uint16_t* out) {
    wide([=] {
        for (int x = 0; x < count; ++x) {
            const std::uint16_t low = std::min(a[x], b[x]), high = std::max(a[x], b[x]);
            out[x] = static_cast<std::uint16_t>(high - low);
        }
    });
}

/// 1 where a step is steep and no smaller than the one before it and the one after it: only the
/// steepest step of an edge tells its width.
void peaks_of(const std::uint16_t* step, const std::uint16_t* before, const std::uint16_t* after,
              int count, std::uint8_t* out) {
    wide([=] {
        for (int x = 0; x < count; ++x) {
            const std::uint16_t least =
                std::max(std::max(before[x], after[x]), static_cast<std::uint16_t>(steep));
            out[x] = step[x] >= least ? 1 : 0;
        }
    });
}

/// Calls `found(x)` for each x in [begin, end) whose flag is 1.
template <class Found>
void for_each_flag(const std::uint8_t* flags, int begin, int end, const Found& found) {
    int x = begin;
    for (; x + 8 <= end; x += 8) {
        std::uint64_t eight = 0;
        std::memcpy(&eight, flags + x, sizeof eight);
        if constexpr (std::endian::native == std::endian::little) {
            for (; eight != 0; eight &= eight - 1) found(x + std::countr_zero(eight) / 8);
        } else {
            for (int i = 0; i < 8; ++i) {
                if (flags[x + i] != 0) found(x + i);
            }
        }
    }
    for (; x < end; ++x) {
        if (flags[x] != 0) found(x);
    }
}

/// A band of the picture, one tile high, with the steps from pixel to pixel in both directions.
class Band {
  public:
    Band(const Image& image, RectPx part)
        : width_(part.width),
          height_(part.height),
          light_(room()),
          down_(room()),
          across_(static_cast<std::size_t>(width_) + 2),
          right_(room()),
          below_(room()) {
        for (int y = 0; y < height_; ++y) {
            lights_of(
                image.row(part.y + y) + static_cast<std::ptrdiff_t>(part.x) * image.channels(),
                image.channels(), width_, row(light_, y));
            const Extremes here = extremes_of(row(light_, y), width_);
            extremes_.dark += here.dark;
            extremes_.light += here.light;
            // The first and the last pixel's steps are in no tile's reach.
            std::uint16_t* steps = across_.data() + 1;
            steps_between(row(light_, y) + 1, row(light_, y), width_ - 1, steps);
            peaks_of(steps, steps - 1, steps + 1, width_ - 1, row(right_, y));
            if (y > 0) steps_between(row(light_, y), row(light_, y - 1), width_, row(down_, y - 1));
        }
        for (int y = reach; y + 1 + reach < height_; ++y) {
            peaks_of(row(down_, y), row(down_, y - 1), row(down_, y + 1), width_, row(below_, y));
        }
    }
    [[nodiscard]] const Extremes& extremes() const { return extremes_; }

    /// Widths of the strong edges in the columns [x, x + count).
    void put_widths(int x, int count, std::vector<float>& widths) const {
        for (int y = 0; y < height_; ++y) {
            for_each_flag(row(right_, y), x + reach, x + count - 1 - reach,
                          [&](int at) { put_width(row(light_, y) + at, 1, widths); });
        }
        for (int y = reach; y + 1 + reach < height_; ++y) {
            for_each_flag(row(below_, y), x, x + count,
                          [&](int at) { put_width(row(light_, y) + at, width_, widths); });
        }
    }

  private:
    [[nodiscard]] std::size_t room() const {
        return static_cast<std::size_t>(width_) * static_cast<std::size_t>(height_);
    }
    template <class T>
    [[nodiscard]] T* row(std::vector<T>& plane, int y) const {
        return plane.data() + static_cast<std::ptrdiff_t>(y) * width_;
    }
    template <class T>
    [[nodiscard]] const T* row(const std::vector<T>& plane, int y) const {
        return plane.data() + static_cast<std::ptrdiff_t>(y) * width_;
    }

    /// The width of the edge whose steepest step lies between a pixel and the next.
    static void put_width(const std::uint16_t* pixel, std::ptrdiff_t next,
                          std::vector<float>& widths) {
        const int here = pixel[0], there = pixel[next];
        const bool up = there > here;
        int low = std::min(here, there), high = std::max(here, there);
        for (std::ptrdiff_t k = 1; k <= reach; ++k) {
            const int before = pixel[-k * next], after = pixel[(1 + k) * next];
            low = std::min(low, up ? before : after);
            high = std::max(high, up ? after : before);
        }
        if (high - low < strong) return;
        widths.push_back(static_cast<float>(high - low) /
                         static_cast<float>(std::abs(there - here)));
    }

    int width_, height_;
    std::vector<std::uint16_t> light_, down_, across_;
    std::vector<std::uint8_t> right_, below_;
    Extremes extremes_;
};

double sharpest_tenth(std::vector<float>& widths) {
    const auto at = widths.begin() + static_cast<std::ptrdiff_t>(widths.size() / 10);
    std::nth_element(widths.begin(), at, widths.end());
    return *at;
}

}  // namespace

Sharpness sharpness(const Image& image, RectPx area, Ppi ppi) {
    Sharpness result;
    const int tile = std::max(24, static_cast<int>(std::lround(pixels(tile_size, ppi))));
    Extremes extremes;
    std::vector<double> tiles;
    std::vector<float> widths;
    for (int y = 0; y < area.height; y += tile) {
        const Band band(image, {area.x, area.y + y, area.width, std::min(tile, area.height - y)});
        extremes.dark += band.extremes().dark;
        extremes.light += band.extremes().light;
        for (int x = 0; x < area.width; x += tile) {
            widths.clear();
            band.put_widths(x, std::min(tile, area.width - x), widths);
            if (widths.size() >= enough_edges) tiles.push_back(sharpest_tenth(widths));
        }
    }
    const double count = static_cast<double>(area.width) * area.height;
    result.line_art =
        image.encoding() == Encoding::bilevel ||
        (static_cast<double>(extremes.dark + extremes.light) > line_art_share * count &&
         static_cast<double>(extremes.dark) > 0.002 * count);
    if (tiles.size() >= enough_tiles) {
        std::ranges::sort(tiles);
        result.edge_px = tiles[tiles.size() / 2];
    }
    return result;
}

}  // namespace paleproof::survey
