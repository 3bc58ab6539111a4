// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::filters {

/// Card scaled to another number of pixels, each direction by itself: stretched, when the shapes
/// differ. Only done on request, and said.
///
/// Input    any encoding, any size from 1 x 1.
/// Result   same encoding and ppi, `size` pixels.
/// Keeps    a card of that size comes back unchanged; a flat card stays flat.
/// Edges    the outermost pixels are repeated outward.
/// Cost     one pass of interpolation.
/// Errors   Error{range} for a size under 1 or over 20,000 in either direction.
/// Not for  keeping lines of 1-bit art even in width: they are thresholded again.
/// Source   area averages to make smaller, cubic interpolation (Keys 1981) to make larger.
[[nodiscard]] Image fit(const Image& card, SizePx size);

}  // namespace paleproof::filters
