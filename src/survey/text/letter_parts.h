// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::survey {

inline constexpr std::uint8_t letter_core = 255;
inline constexpr std::uint8_t letter_ground = 128;
inline constexpr std::uint8_t letter_near_ground = 64;

/// What the pixels of a line's box are on the source: letter_core, letter_ground, nearly ground, or
/// 0 for what is neither. A core has the text's color and stands out as a stroke from what is right
/// around it. Left out are icons and art in the text's color: what is broader than a stroke, what
/// goes on past the box, a rule, and, where most letters are enclosed by the line's ground (on a
/// panel or in outlines), what is not.
///
/// `source` is gray; `box` lies in it. The result is a gray picture of the box's size.
/// Source: own construction, docs/findings.md#text-lost.
[[nodiscard]] Image letter_parts(const Image& source, RectPx box, const TextLine& line);

}  // namespace paleproof::survey
