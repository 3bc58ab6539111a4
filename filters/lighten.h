// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>

#include "core/field.h"
#include "core/image.h"

namespace paleproof::filters {

struct Lighten {
    double ink_budget = 0.12;  ///< mean coverage the result may have over `area`
    RectPx area{};             ///< where coverage is measured, in pixels; empty = the whole picture
    double clean = 0.0;  ///< even ink up to that goes to paper, up to 2.8 times as much in part
    const Image* paper = nullptr;  ///< where paper shows through, 255 = all; none = nowhere
};

inline constexpr std::array lighten_fields{
    Field<Lighten>{"ink-budget", "share of area", &Lighten::ink_budget, 0.0, 1.0},
    Field<Lighten>{"clean", "share of ink", &Lighten::clean, 0.0, 0.2},
};

/// Gray card drawn on paper with no more ink than a budget; lines give way last.
///
/// One number from 3 to 0 says how far to go. At 3 it is the card, from there to 2 its even tones
/// fade until only the drawing of `dark_field` is left; from 2 to 1 the shades of the drawing fade,
/// the faint ones first, and from 1 to 0 its lines. The largest number that meets the budget is
/// taken, but an even tone of less than half of the card's is left out: it would only make
/// the paper dirty (from there on it comes in by and by).
///
/// Input    8-bit gray; any size from 1 x 1. `paper`, if given, is of its size.
/// Result   gray, same size and ppi. Mean coverage over `area` <= ink_budget + 0.002: at 0 nothing
///          but paper is left, so every budget can be met.
/// Keeps    a card within its budget comes back unchanged but for `clean`; white stays white; no
/// pixel gets darker. Edges    as dark_field. Cost     dark_field, two passes and one new image;
/// the bisection works on counts. Errors   Error{range} for a field outside its limits;
/// Error{format} for another encoding. Not for  text: it is cut out before (text_clear) and set
/// again afterward (text_guard). Source   own construction, docs/filters.md#lighten.
[[nodiscard]] Image lighten(const Image& card, const Lighten& p = {});

/// Mean coverage 1 - code/255 of a gray or bilevel picture over `area` (empty = all): the nominal
/// tone value that DeviceGray prints. Error{format} for srgb.
[[nodiscard]] double coverage(const Image& gray, RectPx area = {});

}  // namespace paleproof::filters
