// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::survey {

/// Step from one motif of a repeating pattern to its like, in pixels: along the edge (rightward or
/// downward positive) and inward. inward 0 = nothing repeats.
struct RepeatStep {
    int along = 0;
    int inward = 0;
    double likeness = 0.0;  ///< correlation of the pattern with itself at that step, 0..1
    friend bool operator==(const RepeatStep&, const RepeatStep&) = default;
};

/// How the art along each edge of `area` repeats inward, if it does.
///
/// The strip of 3 mm inside the edge is compared with the art further in, up to 9 mm. It repeats
/// when the correlation reaches 0.94 at some step inward, after falling under 0.7 on the way there:
/// what is merely smooth, or runs straight inward, has no such dip. Of the steps that are nearly
/// as good as the best, the shortest inward is taken. Edges that are not `wanted` are passed over.
///
/// Cost    0.4 ms an edge of art, 3 ms one that repeats, 1050 px at 300 ppi.
/// Errors  none.
/// Source  own construction (normalised cross-correlation).
[[nodiscard]] Edges<RepeatStep> repeats(const Image& image, RectPx area, Ppi ppi,
                                        const Edges<bool>& wanted = {true, true, true, true});

}  // namespace paleproof::survey
