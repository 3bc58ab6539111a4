// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>

#include "core/field.h"
#include "core/image.h"

namespace paleproof::filters {

struct Lighten {
    double ink_budget = 0.12;  ///< mean coverage the result may have over `area`
    double window_mm = 4.0;    ///< what fills less than half of a window this wide is detail
    RectPx area{};             ///< where coverage is measured, in pixels; empty = the whole picture
};

inline constexpr std::array lighten_fields{
    Field<Lighten>{"ink-budget", "share of area", &Lighten::ink_budget, 0.0, 1.0},
    Field<Lighten>{"window", "mm", &Lighten::window_mm, 0.5, 20.0},
};

/// Gray card moved toward paper until its mean coverage meets a budget; strokes give way last.
///
/// The card is split into a base (the median of a window wider than letters and lines are) and the
/// detail that is left. One number from 1 to 0 says how far to go: first the base
/// and faint detail go to paper, strong dark detail (letters, lines) stays; only then it fades, to
/// half of its strength at 0. The largest number that meets the budget is taken.
///
/// Input    8-bit gray; any size from 1 x 1.
/// Result   gray, same size and ppi. Mean coverage over `area` <= ink_budget + 0.002, or the least
///          that this filter can reach: measure it with `coverage`.
/// Keeps    a card within its budget comes back unchanged; white stays white; no pixel gets darker.
/// Edges    the window repeats the outermost pixels.
/// Cost     one median at a quarter of the size, three passes at full size, one new image.
/// Errors   Error{range} for a field outside its limits; Error{format} for another encoding.
/// Not for  text on dark grounds at small budgets: light letters fade as their ground does.
/// Source   running median: Tukey 1977 (docs/sources.md); the one-number family is our own, derived
///          in docs/filters.md#lighten.
[[nodiscard]] Image lighten(const Image& card, const Lighten& p = {});

/// Mean coverage 1 - code/255 of a gray or bilevel picture over `area` (empty = all): the nominal
/// tone value that DeviceGray prints. Error{format} for srgb.
[[nodiscard]] double coverage(const Image& gray, RectPx area = {});

}  // namespace paleproof::filters
