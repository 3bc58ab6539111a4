// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/units.h"

namespace paleproof {

/// One value per edge of a face, clockwise from the top.
template <class T>
struct Edges {
    T top{}, right{}, bottom{}, left{};
    friend bool operator==(const Edges&, const Edges&) = default;
};

struct SizePx {
    int width = 0, height = 0;
    friend bool operator==(const SizePx&, const SizePx&) = default;
};

struct SizeMm {
    Mm width, height;
    friend bool operator==(const SizeMm&, const SizeMm&) = default;
};

/// Pixel rectangle from the top left; right and bottom are one past the last pixel.
struct RectPx {
    int x = 0, y = 0, width = 0, height = 0;
    [[nodiscard]] constexpr int right() const { return x + width; }
    [[nodiscard]] constexpr int bottom() const { return y + height; }
    [[nodiscard]] constexpr bool empty() const { return width <= 0 || height <= 0; }
    friend bool operator==(const RectPx&, const RectPx&) = default;
};

/// The part of `a` that lies in `b`; empty if they do not meet.
[[nodiscard]] RectPx intersection(RectPx a, RectPx b);

}  // namespace paleproof
