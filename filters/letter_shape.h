// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::filters {

/// Strength below which a pixel counts as ground around a letter, 0..255.
inline constexpr int ground_below = 64;
/// What is lower than that beside letters is a rim or a scrap, in x-heights.
inline constexpr double least_letter_height = 0.5;
/// Share of a line's box that its letters fill at most.
inline constexpr double most_of_line = 0.5;
/// Outlines and thin strokes of letters with a lower x-height are a rim, in pixels.
inline constexpr double small_letter_px = 14.0;

/// The widest stroke that a letter of a line can have, in pixels.
[[nodiscard]] double widest_stroke(const TextLine& line);

/// From the edge of the picture in which letters are cut to the line's box, in pixels: letters come
/// to their end there.
[[nodiscard]] int room_around(const TextLine& line);

/// What was found out about the letters of a line.
struct LetterShape {
    bool fits = true;           ///< what is left fills no more of the line than letters do
    bool all_enclosed = false;  ///< most of the line is letters that the ground encloses
};

/// Leaves of the tones around a line what has the shape of its letters: a step of letters().
///
/// What is thicker than a stroke of the line can be is taken out, but for strokes that meet; so are
/// parts that go on above or below the line, through its ends or across it as a rule, and, where
/// most letters are enclosed by the ground, what is not. Soft rims stay with the letters beside
/// them, thin strokes of small letters where they hang together with one.
///
/// Input    `strength`: gray, from letter_tone, the line's box with room_around on each side.
/// Result   what is left in `strength`; nothing where it does not fit.
/// Keeps    the tones of what stays.
/// Edges    what reaches them goes on past the line.
/// Cost     some labellings and openings.
/// Errors   none.
/// Not for  telling letters from art of their form.
/// Source   own construction, docs/filters.md#letter_shape.
LetterShape keep_letter_shapes(Image& strength, const TextLine& line);

}  // namespace paleproof::filters
