// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "core/bleed_method.h"
#include "core/geometry.h"
#include "core/image.h"
#include "filters/pattern.h"

namespace paleproof::filters {

struct Bleed {
    /// Pixels to add on each edge; a negative amount cuts as many away. Each at most 20,000; what
    /// is cut must leave a pixel.
    Edges<int> amount;
    /// How, where the amount is positive; none and present count as stretch.
    Edges<BleedMethod> method;
    RectPx keep{};  ///< the part of the card that counts; empty = all of it
    /// flat: width of the border in pixels, 0 = one row is known of it. carry: where a frame begins
    /// that is not to appear outside, 0 = none.
    Edges<int> border{};
    Edges<Repeat> repeat{};  ///< pattern: the step; without one, pattern counts as carry
    /// Boxes in the card whose content is not to appear outside, letters above all: the bleed is
    /// made as if they were painted over, see cover.h.
    std::vector<RectPx> text{};
};

/// Card with its art carried on past the edges.
///
/// Input    any encoding, any size from 1 x 1.
/// Result   same encoding and ppi, larger by the amounts. Per edge
///          stretch  the outermost row goes on;
///          mirror     the art is reflected, its outermost row repeated;
///          flat       the border is reflected in itself: its exact color, its own noise;
///          carry      see carry.h: tones and lines go on, fine detail is reflected;
///          pattern    each place shows what lies whole repeats inward.
///          Corners continue both edges at once; where an edge is carried, flat or patterned, they
///          are made from both sides and blended, each ruling where it adjoins.
/// Keeps    every pixel of the card that is not cut away, bit for bit.
/// Edges    that is what it is about; a mirror wider than the card turns back as often as needed.
/// Cost     9 ms for 750 x 1050 and 38 px of carry on all edges; the others one pass.
/// Errors   Error{range} for an amount outside its limits or a part to keep outside the card.
/// Not for  text near the edge that is not named: a mirror repeats it outside the trim.
/// Source   own construction, docs/filters.md#bleed.
[[nodiscard]] Image bleed(const Image& card, const Bleed& p);

}  // namespace paleproof::filters
