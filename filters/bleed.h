// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/bleed_method.h"
#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::filters {

struct Bleed {
    /// Pixels to add on each edge; a negative amount cuts as many away. Each at most 20,000; what
    /// is cut must leave a pixel.
    Edges<int> amount;
    /// replicate or mirror where the amount is positive; the others count as replicate.
    Edges<BleedMethod> method;
};

/// Card with its art carried on past the edges.
///
/// Input    any encoding, any size from 1 x 1.
/// Result   same encoding and ppi, larger by the amounts. Corners continue both edges at once.
/// Keeps    every pixel of the card that is not cut away, bit for bit.
/// Edges    that is what it is about; a mirror wider than the card turns back as often as needed.
/// Cost     one pass over the result.
/// Errors   Error{range} for an amount outside its limits.
/// Not for  text or frames near the edge: a mirror repeats them outside the trim.
/// Source   own construction, none needed.
[[nodiscard]] Image bleed(const Image& card, const Bleed& p);

}  // namespace paleproof::filters
