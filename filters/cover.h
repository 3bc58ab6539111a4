// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::filters {

/// Card whose boxes are painted over with what lies around them. Used where art is continued past
/// an edge: letters must not appear there a second time.
///
/// Input    any encoding, any size from 1 x 1. Boxes may reach past the picture, and overlap.
/// Result   same size, encoding and ppi. Each pixel of a box is the mean of the four places just
///          outside it, straight up, down, left and right, weighted by their nearness squared;
///          each place is itself the mean of 3 x 2 pixels. Boxes are painted in their order.
/// Keeps    every pixel outside the boxes, bit for bit; a flat ground around a box stays exact.
/// Edges    sides on which the box reaches the picture's edge have no say; a box that reaches all
///          four is left as it is.
/// Cost     the boxes' pixels only, and a copy.
/// Errors   none.
/// Not for  restoring art: what was under the letters is not known.
/// Source   inverse distance weights (Shepard 1968), see docs/sources.md.
[[nodiscard]] Image cover(const Image& card, std::span<const RectPx> boxes);

}  // namespace paleproof::filters
