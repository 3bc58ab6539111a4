// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The way between a picture and the strips along its edges.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>

#include "core/geometry.h"
#include "core/image.h"
#include "filters/edge_strip.h"

namespace paleproof::filters {

/// An edge of a picture.
enum class Side { top, right, bottom, left };

/// Where a strip along one side of `area` lies in a picture: its row r (outermost 0; negative =
/// outside) and place x along the edge.
struct Lie {
    Side side;
    RectPx area;
    [[nodiscard]] int length() const {
        return side == Side::top || side == Side::bottom ? area.width : area.height;
    }
    [[nodiscard]] int depth() const {
        return side == Side::top || side == Side::bottom ? area.height : area.width;
    }
    [[nodiscard]] std::uint8_t* at(Image& image, int r, int x) const {
        int px = area.x + x;
        int py = area.y + r;
        if (side == Side::bottom) py = area.bottom() - 1 - r;
        if (side == Side::left || side == Side::right) {
            px = side == Side::left ? area.x + r : area.right() - 1 - r;
            py = area.y + x;
        }
        return image.row(py) + static_cast<std::ptrdiff_t>(px) * image.channels();
    }
};

/// The outermost rows of the area, as many of them as it has.
inline void take_inside(Image& image, const Lie& lie, int rows, EdgeStrip& strip) {
    strip.reshape(lie.length(), std::min(rows, lie.depth()), image.channels());
    const int channels = strip.channels;
    if (lie.side == Side::top || lie.side == Side::bottom) {
        for (int r = 0; r < strip.rows; ++r) {
            const std::uint8_t* in = lie.at(image, r, 0);
            std::copy_n(in, static_cast<std::ptrdiff_t>(strip.length) * channels, strip.row(r));
        }
        return;
    }
    // In the picture's own order: along its rows.
    const std::ptrdiff_t inward = lie.side == Side::left ? channels : -channels;
    const std::ptrdiff_t next = static_cast<std::ptrdiff_t>(strip.length) * channels;
    for (int x = 0; x < strip.length; ++x) {
        const std::uint8_t* in = lie.at(image, 0, x);
        float* out = strip.row(0) + static_cast<std::ptrdiff_t>(x) * channels;
        for (int r = 0; r < strip.rows; ++r, in += inward, out += next) {
            for (int c = 0; c < channels; ++c) out[c] = in[c];
        }
    }
}

/// A value of a strip as a code of the picture.
[[nodiscard]] inline std::uint8_t code(float value, bool bilevel) {
    if (bilevel) return value < 127.5F ? 0 : 255;
    return static_cast<std::uint8_t>(std::clamp(value, 0.0F, 255.0F) + 0.5F);
}

/// Writes a strip past the area, row 0 beside it.
inline void put_outside(Image& image, const Lie& lie, const EdgeStrip& strip) {
    const bool bilevel = image.encoding() == Encoding::bilevel;
    const int channels = strip.channels;
    if (lie.side == Side::top || lie.side == Side::bottom) {
        const std::ptrdiff_t count = static_cast<std::ptrdiff_t>(strip.length) * channels;
        for (int r = 0; r < strip.rows; ++r) {
            std::uint8_t* out = lie.at(image, -1 - r, 0);
            const float* in = strip.row(r);
            for (std::ptrdiff_t i = 0; i < count; ++i) out[i] = code(in[i], bilevel);
        }
        return;
    }
    const std::ptrdiff_t outward = lie.side == Side::left ? -channels : channels;
    const std::ptrdiff_t next = static_cast<std::ptrdiff_t>(strip.length) * channels;
    for (int x = 0; x < strip.length; ++x) {
        std::uint8_t* out = lie.at(image, -1, x);
        const float* in = strip.row(0) + static_cast<std::ptrdiff_t>(x) * channels;
        for (int r = 0; r < strip.rows; ++r, in += next, out += outward) {
            for (int c = 0; c < channels; ++c) out[c] = code(in[c], bilevel);
        }
    }
}

}  // namespace paleproof::filters
