// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>

#include "core/field.h"
#include "core/image.h"

namespace paleproof::filters {

struct Lighten {
    double ink_budget = 0.12;  ///< mean coverage the result may have over `area`
    double radius_mm = 0.8;    ///< size of what counts as detail; 9 px at 300 ppi
    double edge_codes =
        20.0;       ///< steps of more codes than this are edges and stay sharp in the base
    RectPx area{};  ///< where coverage is measured, in pixels; empty = the whole picture
};

inline constexpr std::array lighten_fields{
    Field<Lighten>{"ink-budget", "share of area", &Lighten::ink_budget, 0.0, 1.0},
    Field<Lighten>{"radius", "mm", &Lighten::radius_mm, 0.1, 5.0},
    Field<Lighten>{"edge", "8-bit codes", &Lighten::edge_codes, 1.0, 100.0},
};

/// Gray card moved toward paper until its mean coverage meets a budget; small detail gives way
/// last.
///
/// The card is split into a base (guided filter of He, Sun and Tang, self-guided) and the detail
/// that is left. One number t from 1 to 0 says how far to go: the base keeps t of its depth, the
/// detail keeps all of its strength at t = 1 and half of it at t = 0. The largest t that meets the
/// budget is taken.
///
/// Input    8-bit gray; any size from 1 x 1.
/// Result   gray, same size and ppi. Mean coverage over `area` <= ink_budget + 0.002, or the least
///          that this filter can reach (t = 0): measure it with `coverage`.
/// Keeps    a card within its budget comes back unchanged; white stays white; no pixel gets darker.
/// Edges    the filter window is cut at the border (OpenCV's reflect border).
/// Cost     a few passes at a quarter of the size, two at full size, one new image.
/// Errors   Error{range} for a field outside its limits; Error{format} for another encoding.
/// Not for  text on dark grounds at small budgets: light letters fade as their ground does.
/// Source   guided filter: He, Sun, Tang 2013 (docs/sources.md); the one-number family is our own,
///          derived in docs/filters.md#lighten.
[[nodiscard]] Image lighten(const Image& card, const Lighten& p = {});

/// Mean coverage 1 - code/255 of a gray or bilevel picture over `area` (empty = all): the nominal
/// tone value that DeviceGray prints. Error{format} for srgb.
[[nodiscard]] double coverage(const Image& gray, RectPx area = {});

}  // namespace paleproof::filters
