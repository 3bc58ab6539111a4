// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>

#include "filters/edge_strip.h"
#include "filters/flow.h"

namespace paleproof::filters {

/// Memory that carry() works in, to be used again from edge to edge.
struct CarryScratch {
    Flow lines;
    EdgeStrip soft, detail, texture;
    std::array<EdgeStrip, 6> profile;
};

/// Art carried on past one edge: tones and lines go on outward, fine detail is reflected.
///
/// 1. soft = the strip through a Gaussian of 1.5 px; detail = strip - soft.
/// 2. Outside, `flow` says with which slope s the lines run. At distance d from the edge,
///    place x takes its tone from the edge's soft profile at x - s d, blurred the more the farther
///    out it lies (0.45 px per px; a fifth of that along lines), and its detail from the
///    point that lies as deep inside, reflected along the line: x - 2 s d.
/// 3. The detail is scaled, 0.8 to 1.4, so that fine texture is as strong as inside.
///
/// Input    a strip of at least 1 x 1; `bilevel`: the detail keeps its scale, as the result will be
///          thresholded; `calm`: rows whose detail is reflected, 0 = all: what lies deeper, a frame
///          for example, does not appear outside.
/// Result   `rows` rows, row 0 next to the edge; values may pass 0..255 a little.
/// Edges    a strip less deep than `rows` is folded as often as needed.
/// Cost     about 2 ms for 1050 x 38 in color.
/// Errors   none.
/// Not for  text at the edge: what lies under it is not known, its detail is reflected.
/// Source   own construction; docs/filters.md#carry.
[[nodiscard]] EdgeStrip carry(const EdgeStrip& inside, int rows, bool bilevel = false,
                              int calm = 0);
/// The same into `result`; what it held is lost.
void carry(const EdgeStrip& inside, int rows, bool bilevel, int calm, CarryScratch& scratch,
           EdgeStrip& result);

}  // namespace paleproof::filters
