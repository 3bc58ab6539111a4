// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <span>

#include "core/field.h"
#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::filters {

struct TextGuard {
    double ink = 0.92;   ///< tone value of a letter's core in the result
    double halo = 0.35;  ///< reach of the light ground around the letters, in x-heights
};

inline constexpr std::array text_guard_fields{
    Field<TextGuard>{"ink", "share", &TextGuard::ink, 0.3, 1.0},
    Field<TextGuard>{"halo", "x-heights", &TextGuard::halo, 0.0, 1.5},
};

/// Gray proof in which the letters of the given lines stand solid on light ground.
///
/// 1. Along the axis from a line's ground color to its text color, each pixel of the source in and
/// around the
///    line's box is a letter (1) or ground (0); reversed text becomes dark on light this way.
/// 2. A soft halo, the letters dilated by `halo` x-heights and blurred, takes the proof to paper.
/// 3. The letters are set over it.
///
/// Input    `source`: gray face; `proof`: its lightened gray, same size; boxes in their pixels.
/// Result   gray, same size and ppi as the proof.
/// Keeps    every pixel farther than two halos from all boxes. Lines that are less sure than 0.5,
/// of
///          less contrast than 1.5 : 1, or that would fill more than half of their box are left
///          alone.
/// Edges    boxes are cut at the picture.
/// Cost     a few passes over the boxes.
/// Errors   Error{range} for a field outside its limits; Error{format} for other encodings or
///          unequal sizes.
/// Not for  outlined text, whose outline counts as the ground.
/// Source   own construction, docs/filters.md#text_guard.
[[nodiscard]] Image text_guard(const Image& source, const Image& proof,
                               std::span<const TextLine> lines, const TextGuard& p = {});

}  // namespace paleproof::filters
