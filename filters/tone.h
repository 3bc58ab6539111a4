// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "color/gray_table.h"
#include "core/image.h"

namespace paleproof::filters {

/// Gray card after a map from color to gray that was decided for the whole deck.
///
/// Input    8-bit srgb, gray or bilevel; any size from 1 x 1.
/// Result   gray, same size and ppi; each pixel is the map's gray of its color.
/// Keeps    the same color is the same gray wherever it lies. Gray and bilevel come back as they
///          are, tagged gray; neutrals keep their code where the map keeps them.
/// Edges    none: a pixel depends on itself only.
/// Cost     one pass, four look-ups a pixel, none where a color repeats; one new image.
/// Errors   none.
/// Not for  pictures that are to be gray by lightness alone: gray.
/// Source   tetrahedral interpolation, kasson1995; the map: docs/filters.md#tone.
[[nodiscard]] Image tone(const Image& card, const color::GrayTable& map);

}  // namespace paleproof::filters
