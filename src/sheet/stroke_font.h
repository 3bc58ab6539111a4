// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "core/units.h"

namespace paleproof::sheet {

/// The house's own lettering for margins: single strokes, so that it needs no font file, prints
/// alike everywhere and stays sharp at 1 mm. Own construction. Latin letters with the accents of
/// Latin-1 and most of Latin Extended-A, digits, punctuation; anything else is drawn as a box.
///
/// Units: cap height 14, x-height 10, base line y = 0, y upward.
inline constexpr double font_cap_height = 14.0;
inline constexpr double font_stroke_width = 1.35;

/// A polyline, or an arc of an ellipse in degrees, counterclockwise from +x; clockwise when
/// `to` < `from`.
struct Stroke {
    std::vector<double> points;  ///< x, y, x, y, ...; empty for an arc
    double cx = 0.0, cy = 0.0, rx = 0.0, ry = 0.0, from = 0.0, to = 0.0;
};

struct Glyph {
    std::vector<Stroke> strokes;
    double advance = 0.0;
    double top = 0.0;  ///< highest point of the letter without its accent: where an accent goes
};

/// The drawing of a character; a box for one that the font does not have.
[[nodiscard]] Glyph glyph(char32_t character);
[[nodiscard]] bool has_glyph(char32_t character);

/// UTF-8 -> characters. Bytes that are no UTF-8 become U+FFFD; control characters become spaces.
[[nodiscard]] std::u32string characters(std::string_view utf8);
[[nodiscard]] std::string utf8(std::u32string_view characters);

/// Width of a line of text as set, from the left edge of its first letter to the advance of its
/// last.
[[nodiscard]] Mm text_width(std::string_view utf8, Mm cap_height);

/// The text, shortened with an ellipsis so that it is no wider than `width`.
[[nodiscard]] std::string shortened(const std::string& utf8, Mm cap_height, Mm width);

}  // namespace paleproof::sheet
