// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::filters {

struct Corners {
    RectPx area{};                      ///< the card in the picture; empty = the whole picture
    std::array<double, 4> radius_px{};  ///< clockwise from the top left; 0 = square, left alone
};

/// Card whose round corners are filled up to square ones, from inside the curve.
///
/// Input    any encoding, any size from 1 x 1.
/// Result   same size, encoding and ppi.
/// Keeps    every pixel that lies inside the curve by 1.5 px or more, bit for bit.
/// Edges    a pixel at or outside the curve shows the one that lies as far inside it on the same
///          ray from the curve's center: a border stays its exact color, art is as busy as it was.
/// Cost     the corners' pixels only, and a copy.
/// Errors   Error{range} for a radius that is negative or more than half of the area's side, or an
///          area outside the picture.
/// Not for  corners whose curve is part of the design.
/// Source   own construction, plane geometry.
[[nodiscard]] Image corners(const Image& card, const Corners& p);

}  // namespace paleproof::filters
