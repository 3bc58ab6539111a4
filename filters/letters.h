// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <vector>

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::filters {

/// The letters of one line, cut out of its face.
struct Letters {
    RectPx part;            ///< the line's box and a little around it, within the face
    Image strength;         ///< of the size of `part`: 0 = ground, 255 = core of a letter
    double reach_px = 0.0;  ///< x-height, by which gaps are measured
    double halo_px = 0.0;   ///< x-height by which the halo is measured: own, or halo_x_height()
    bool strong = false;    ///< text_guard gives them full ink and a wider halo
    Image field{};  ///< of a symbol, of the same size: 255 within it, holes included; else empty
};

/// What of a line counts as a letter.
enum class LetterCut {
    sure,   ///< what looks like a letter, in lines that look like text
    whole,  ///< all strokes of the text's color: for lines of which the sure cut lost something
    local  ///< all strokes that stand out where they are: for lines that lie on art as dark as they
};

/// The letters of all lines that can be told from their ground, in the lines' order.
///
/// 1. letter_tone() says how much each pixel looks like a letter of the line.
/// 2. What is thicker than a letter's strokes can be is an inline icon, and what goes on above or
///    below the line is a ribbon, a panel or an emblem beside it: no letters. Where strokes meet,
///    as in a k, they may be thicker.
///
/// Input    `face`: srgb, gray or bilevel; boxes of the lines in its pixels.
/// Result   one entry for each line that is surer than 0.4, has a contrast of at least 1.5 : 1 (a
///          line of letters that is surer than 0.55: 1.1 : 1) and fills less than half of its box;
///          lines that are not are left out. With LetterCut::whole and local every line whose
///          colors differ, scraps included, but no blots.
/// Keeps    the face.
/// Edges    boxes are cut at the picture.
/// Cost     a few passes over the boxes.
/// Errors   none.
/// Not for  letters filled with a picture; a hair line finer than a pixel.
/// Source   own construction, docs/filters.md#letters.
[[nodiscard]] std::vector<Letters> letters(const Image& face, std::span<const TextLine> lines,
                                           LetterCut cut = LetterCut::sure);

}  // namespace paleproof::filters
