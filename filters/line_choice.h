// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "core/geometry.h"
#include "filters/plane.h"

namespace paleproof::filters {

struct LineChoice {
    double most = 0.0;         ///< pixels that the chosen lines may take
    double shortest = 0.0;     ///< pixels: lines whose box has a shorter diagonal are left out
    double full_length = 0.0;  ///< pixels: from here on length makes a line no more important
    RectPx area{};             ///< where pixels are counted; empty = everywhere
};

/// Which of all lines are drawn, 255 each, 0 elsewhere: `rank` says how important each pixel of a
/// line is, 0 where none is. A line starts where it is important enough and goes on into its
/// weaker ends, down to 0.42 times of that (hysteresis: Canny 1986); what matters of short
/// lines is scaled down to 0.3. The lowest limit with which all fit into `most` is taken.
[[nodiscard]] std::vector<std::uint8_t> line_choice(const Plane& rank, const LineChoice& p);

}  // namespace paleproof::filters
