// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

#include "filters/edge_strip.h"

namespace paleproof::filters {

/// Step from one motif of a repeating pattern to its like, in pixels: along the edge (rightward or
/// downward positive) and inward. inward 0 = nothing repeats.
struct Repeat {
    int along = 0;
    int inward = 0;
    friend bool operator==(const Repeat&, const Repeat&) = default;
};

/// Steps of the edge that a strip lies along, and of the two edges at its ends as the strip sees
/// them: `inward` away from that end along the strip, `along` toward the strip's inner rows.
struct PatternSteps {
    Repeat edge, first, last;
};

/// A place of a strip: row, outermost 0, negative = outside; and position along the edge.
struct StripPlace {
    int r = 0, x = 0;
    friend bool operator==(const StripPlace&, const StripPlace&) = default;
};

/// Where inside a strip of `rows` x `length` the pattern has what belongs to a place outside it:
/// some steps of the edge inward, and of the edges at the ends where these lead past an end.
/// Nothing when few steps do not lead inside: as they are whole pixels, many are out of phase.
[[nodiscard]] std::optional<StripPlace> in_phase(StripPlace at, int length, int rows,
                                                 const PatternSteps& steps);

/// A pattern gone on past one edge: each place shows what lies a whole number of repeats inward.
///
/// Input    a strip of at least 1 x 1; steps.edge.inward >= 1.
/// Result   `rows` rows, row 0 next to the edge, of values that the strip has; true when each place
///          is known. A place whose repeats leave the strip at an end is found by the steps of that
///          end; where these lead nowhere, all its channels are -1.
/// Edges    that is what it is about.
/// Cost     one pass.
/// Errors   none.
/// Not for  art that does not repeat exactly.
/// Source   own construction; docs/filters.md#pattern.
bool pattern(const EdgeStrip& inside, int rows, const PatternSteps& steps, EdgeStrip& result);

}  // namespace paleproof::filters
