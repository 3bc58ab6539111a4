// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>

#include "core/field.h"
#include "core/image.h"

namespace paleproof::filters {

struct Tint {
    double wash = 0.40;     ///< strength of the colors on paper: 1 = as bright as they can be
    double drawing = 1.00;  ///< strength of the drawing over them
};

inline constexpr std::array tint_fields{
    Field<Tint>{"wash", "share", &Tint::wash, 0.0, 1.0},
    Field<Tint>{"drawing", "share", &Tint::drawing, 0.0, 1.0},
};

/// A face as a drawing washed with its own colors: every hue where it was, on light ground.
///
/// Each color becomes its brightest form (its largest channel full), so that a midnight blue is a
/// sky blue, thinned with paper by `wash`; the drawing is multiplied over it. Colors next to black,
/// whose hue is noise, and grays leave the paper white.
///
/// Input    `card`: srgb; `drawing`: gray, of its size, such as lighten gives, without text.
/// Result   srgb, same size and ppi.
/// Keeps    hue (of HSV) where the drawing leaves paper; white; no channel gets darker.
/// Edges    none: a pixel depends on itself only.
/// Cost     one pass, one new image.
/// Errors   Error{range} for a field outside its limits; Error{format} for other encodings or
///          unequal sizes.
/// Not for  telling a light color from a dark one of the same hue: they get the same wash.
/// Source   own construction, docs/filters.md#tint.
[[nodiscard]] Image tint(const Image& card, const Image& drawing, const Tint& p = {});

}  // namespace paleproof::filters
