// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"

namespace paleproof::filters {

/// Gray picture of another size: each pixel the mean of what it covers, or, where it is larger,
/// interpolated between the nearest four.
///
/// Input    gray or bilevel, any size from 1 x 1.
/// Result   gray; ppi scaled by the change of width.
/// Keeps    a picture of that size as it is; the mean, to half a code, where the size divides
/// evenly. Edges    the outermost pixels repeat. Cost     one pass. Errors   Error{format} for
/// srgb; Error{range} for an empty size. Not for  enlarging line art that is to stay sharp. Source
/// none needed.
[[nodiscard]] Image rescale(const Image& gray, SizePx size);

}  // namespace paleproof::filters
