// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::filters {

/// How far apart the colors of a line's ground and text are, in codes as the face has them.
[[nodiscard]] double tone_step(const TextLine& line, Encoding encoding);

/// How much each pixel of `part` looks like the line's letters: a step of letters().
///
/// Each pixel's color has a place on the way from the line's ground color to its text color: up to
/// 25 % it is ground, from 70 % on letter, between them a smooth step (15 % and 80 % and an even
/// way for small letters, 10 % and 60 % if they are faint, too). A color far off that way counts
/// for less, `patience` times as far as usual; what is nearer to the way to the line's shadow_color
/// is none. In larger letters, what is thinner than the line's strokes never shows its full color
/// and is raised by how much it stands out from an opening of half a stroke: hairlines. Where most
/// of what is even around the letters lies on the way, as behind letters in an outline, or where
/// art changes color under a line, letters begin past it: in each stretch of the line by itself.
///
/// Input    `face`: srgb, gray or bilevel; `part` lies in it.
/// Result   gray, of the size of `part`: 0 = ground, 255 = core of a letter; 0 everywhere where
///          the colors of the line do not differ.
/// Keeps    the face.
/// Edges    none.
/// Cost     two passes and an opening.
/// Errors   none.
/// Not for  telling letters from art in their color: letters() does.
/// Source   own construction, docs/filters.md#letter_tone.
[[nodiscard]] Image letter_tone(const Image& face, RectPx part, const TextLine& line,
                                double patience = 1.0);

/// The same against the ground right around each stroke, whatever the line's ground is elsewhere:
/// a closing fills what is narrower than `widest` pixels, its result is the local ground, no
/// farther from the text than the line's own.
[[nodiscard]] Image stroke_tone(const Image& face, RectPx part, const TextLine& line,
                                double widest);

}  // namespace paleproof::filters
