// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <vector>

#include "core/image.h"
#include "core/symbol.h"
#include "core/text_line.h"
#include "survey/small_view.h"

namespace paleproof::survey {

inline constexpr std::size_t most_symbols = 160;

/// The small signs of a face: suit marks, icons in lines of text and beside them, numbers, letters
/// that were not found as text.
///
/// 1. Neighbors in a view of about 150 ppi that hardly differ belong together; what is 5 mm2 or
///    larger is ground.
/// 2. A patch of what is no ground is a symbol when it is 1 to 7 mm large, lies wholly inside of
///    one ground, and stands out from it clearly. Letters of the lines of `text` are none, nor are
///    the holes in figures of its marks.
/// 3. On the face itself, what differs from the ground has one tone, or two: then the one that is
///    farther from the ground is the figure, the other its field.
///
/// Input    any encoding; `view` of its trimmed area, from small_view.
/// Result   from top to bottom, then left to right; at most most_symbols, the smallest first where
///          there are more.
/// Keeps    a face without a sure line of text, such as a back, has none.
/// Edges    what reaches the edge of the trimmed area is no symbol.
/// Cost     about 3 ms for 750 x 1050 pixels.
/// Errors   none.
/// Not for  signs on painted grounds.
/// Source   own construction, docs/findings.md#text-lost.
[[nodiscard]] std::vector<Symbol> symbols(const Image& face, const SmallView& view, Ppi ppi,
                                          std::span<const TextLine> text);

}  // namespace paleproof::survey
