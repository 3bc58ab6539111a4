// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::survey {

struct Sharpness {
    /// Width of the sharpest edges of most of the art, in pixels: 1 = as sharp as pixels can be;
    /// art enlarged k times has about k. 0 when too little of the art has edges to say.
    double edge_px = 0.0;
    bool line_art = false;  ///< nearly all pixels are near black or near white
};

/// How sharp the art in `area` is.
///
/// In tiles of 5 mm, the steepest step between neighbors is compared with the contrast around it
/// (4 px to each side): contrast / step is the width of that edge. A tile's width is that of its
/// sharpest tenth of strong edges; tiles without 20 edges of 40 codes do not count. The result is
/// the median over the tiles, so sharp lettering over enlarged art does not hide it.
///
/// Errors  none.
/// Source  own construction; an ideal step smeared by a box of k pixels is k pixels wide.
[[nodiscard]] Sharpness sharpness(const Image& image, RectPx area, Ppi ppi);

}  // namespace paleproof::survey
