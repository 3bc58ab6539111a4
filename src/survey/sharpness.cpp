// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/sharpness.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
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

/// What lies around a step from one pixel to the next: `reach` + 1 pixels to each side, in order.
using Around = std::array<const std::uint16_t*, 2 * (reach + 1)>;

/// How far the lightness goes over the edge that a step is part of: from the end on one side to
/// that on the other, in the step's direction. For `count` steps beside each other.
void ranges_of(const Around& around, int count, std::uint16_t* out) {
    wide([=] {
        constexpr std::size_t side = reach + 1;
        for (int x = 0; x < count; ++x) {
            std::uint16_t low = around[0][x], high = low;
            std::uint16_t next_low = around[side][x], next_high = next_low;
            for (std::size_t k = 1; k < side; ++k) {
                low = std::min(low, around[k][x]);
                high = std::max(high, around[k][x]);
                next_low = std::min(next_low, around[side + k][x]);
                next_high = std::max(next_high, around[side + k][x]);
            }
            const auto up = static_cast<std::uint16_t>(next_high - low);
            const auto down = static_cast<std::uint16_t>(high - next_low);
            out[x] = around[side][x] > around[reach][x] ? up : down;
        }
    });
}

/// 1 where a step is steep, no smaller than the one before it and the one after it, and part of a
/// strong edge: only the steepest step of an edge tells its width.
void peaks_of(const std::uint16_t* step, const std::uint16_t* before, const std::uint16_t* after,
              const std::uint16_t* range, int count, std::uint8_t* out) {
    wide([=] {
        for (int x = 0; x < count; ++x) {
            const std::uint16_t least =
                std::max(std::max(before[x], after[x]), static_cast<std::uint16_t>(steep));
            const bool peak = step[x] >= least;
            const bool wanted = range[x] >= strong;
            out[x] = static_cast<std::uint8_t>(peak & wanted);
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

/// Widths of edges in pixels, counted in 64ths: what is asked for is a rank among them.
class Widths {
  public:
    void add(std::uint16_t range, std::uint16_t step) {
        const std::uint32_t twice = 2U * step;
        ++count_[(2U * parts * range + step) / twice];  // rounded to the nearest
        ++all_;
    }
    [[nodiscard]] std::size_t size() const { return all_; }
    /// The width that a tenth of all edges do not reach.
    [[nodiscard]] double sharpest_tenth() const {
        std::size_t below = 0;
        std::size_t i = 0;
        while (i + 1 < count_.size() && (below += count_[i]) <= all_ / 10) ++i;
        return static_cast<double>(i) / parts;
    }
    void clear() {
        count_.fill(0);
        all_ = 0;
    }

  private:
    static constexpr std::uint32_t parts = 64;
    static constexpr std::uint32_t widest = 255 * one / steep + 1;
    std::array<std::uint32_t, widest * parts> count_{};
    std::size_t all_ = 0;
};

/// A band of the picture, one tile high, with the steps from pixel to pixel in both directions.
class Band {
  public:
    Band(const Image& image, RectPx part)
        : width_(part.width),
          height_(part.height),
          light_(room()),
          across_(room()),
          down_(room()),
          across_range_(room()),
          down_range_(room()),
          right_(room()),
          below_(room()) {
        for (int y = 0; y < height_; ++y) {
            lights_of(
                image.row(part.y + y) + static_cast<std::ptrdiff_t>(part.x) * image.channels(),
                image.channels(), width_, row(light_, y));
            const Extremes here = extremes_of(row(light_, y), width_);
            extremes_.dark += here.dark;
            extremes_.light += here.light;
            look_across(y);
            if (y > 0) steps_between(row(light_, y), row(light_, y - 1), width_, row(down_, y - 1));
        }
        for (int y = reach; y + 1 + reach < height_; ++y) look_down(y);
    }
    [[nodiscard]] const Extremes& extremes() const { return extremes_; }

    /// Widths of the strong edges in the columns [x, x + count).
    void put_widths(int x, int count, Widths& widths) const {
        for (int y = 0; y < height_; ++y) {
            for_each_flag(row(right_, y), x + reach, x + count - 1 - reach, [&](int at) {
                widths.add(row(across_range_, y)[at], row(across_, y)[at]);
            });
        }
        for (int y = reach; y + 1 + reach < height_; ++y) {
            for_each_flag(row(below_, y), x, x + count,
                          [&](int at) { widths.add(row(down_range_, y)[at], row(down_, y)[at]); });
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

    /// The steps from each pixel of a row to the next one, those in reach of its ends left out.
    void look_across(int y) {
        const int count = width_ - 1 - 2 * reach;
        if (count <= 0) return;
        const std::uint16_t* light = row(light_, y);
        std::uint16_t* steps = row(across_, y);
        steps_between(light + 1, light, width_ - 1, steps);
        Around around{};
        for (std::size_t k = 0; k < around.size(); ++k) around[k] = light + k;
        std::uint16_t* ranges = row(across_range_, y) + reach;
        ranges_of(around, count, ranges);
        steps += reach;
        peaks_of(steps, steps - 1, steps + 1, ranges, count, row(right_, y) + reach);
    }

    /// The steps from each pixel of a row to the one below.
    void look_down(int y) {
        Around around{};
        for (std::size_t k = 0; k < around.size(); ++k) {
            around[k] = row(light_, y + static_cast<int>(k) - reach);
        }
        std::uint16_t* ranges = row(down_range_, y);
        ranges_of(around, width_, ranges);
        peaks_of(row(down_, y), row(down_, y - 1), row(down_, y + 1), ranges, width_,
                 row(below_, y));
    }

    int width_, height_;
    // Of each pixel: its lightness, the steps to the next ones, how far their edges go.
    std::vector<std::uint16_t> light_, across_, down_, across_range_, down_range_;
    std::vector<std::uint8_t> right_, below_;
    Extremes extremes_;
};

}  // namespace

Sharpness sharpness(const Image& image, RectPx area, Ppi ppi) {
    Sharpness result;
    const int tile = std::max(24, static_cast<int>(std::lround(pixels(tile_size, ppi))));
    Extremes extremes;
    std::vector<double> tiles;
    Widths widths;
    for (int y = 0; y < area.height; y += tile) {
        const Band band(image, {area.x, area.y + y, area.width, std::min(tile, area.height - y)});
        extremes.dark += band.extremes().dark;
        extremes.light += band.extremes().light;
        for (int x = 0; x < area.width; x += tile) {
            widths.clear();
            band.put_widths(x, std::min(tile, area.width - x), widths);
            if (widths.size() >= enough_edges) tiles.push_back(widths.sharpest_tenth());
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
