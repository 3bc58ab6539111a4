// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <optional>

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::survey {

/// One corner of a card that was cut round in the picture.
struct RoundCorner {
    double radius_px = 0.0;  ///< 0 = square
};

/// The corners, clockwise from the top left.
using RoundCorners = std::array<RoundCorner, 4>;

/// Corners of `area` outside whose curve the picture is transparent (by the mask), white or black.
///
/// The radius comes from the area outside: r^2 (1 - pi / 4). A corner counts when it is 0.8 to 8 mm
/// and every row of what is outside ends within 2 px of that circle. A border of the same color as
/// the outside hides the curve; that corner is square then.
///
/// Errors  none.
/// Source  circle geometry.
[[nodiscard]] RoundCorners round_corners(const Image& image, const std::optional<Image>& mask,
                                         RectPx area, Ppi ppi);

}  // namespace paleproof::survey
