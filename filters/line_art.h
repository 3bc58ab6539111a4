// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <vector>

#include "core/field.h"
#include "core/image.h"

namespace paleproof::filters {

struct LineArt {
    double ink_budget = 0.06;  ///< mean coverage the result may have over `area`, letters included
    double solid_mm = 0.4;  ///< strokes up to about this weight become one line, broader ones two
    double faintest = 7.0;  ///< codes: lower steps give no line, whatever the budget; on grain more
    double shortest_mm = 0.9;  ///< shorter lines are left out
    double ppi = 600.0;        ///< of the result
    RectPx area{};             ///< where coverage is measured, in pixels of the face; empty = all
};

inline constexpr std::array line_art_fields{
    Field<LineArt>{"ink-budget", "share of area", &LineArt::ink_budget, 0.0, 1.0},
    Field<LineArt>{"solid", "mm", &LineArt::solid_mm, 0.1, 2.0},
    Field<LineArt>{"faintest", "codes", &LineArt::faintest, 1.0, 255.0},
    Field<LineArt>{"shortest", "mm", &LineArt::shortest_mm, 0.0, 10.0},
    Field<LineArt>{"ppi", "pixels per inch", &LineArt::ppi, 300.0, 1200.0},
};

/// What is more than picture. The pictures are gray, as large as the face; empty = nothing.
struct SolidText {
    Image letters;  ///< dark where a letter is
    Image ground;   ///< dark where no line may run: around the letters
    /// Boxes of symbols whose lines are drawn before all others, in pixels of the face.
    std::vector<RectPx> first{};
    /// Boxes of single numbers and letters, in pixels of the face: a stroke that stands beside one
    /// by itself, no taller than it, would read as a figure and is left out.
    std::vector<RectPx> marks{};
};

/// Pen drawing of a face: black lines of even weight on paper, 1 bit, whatever the face's ppi.
///
/// 1. Thin light strokes become dark ones; thin dark strokes and the edges of areas each give one
///    line, on the dark side of an edge. What differs no more than the grain around it is none.
/// 2. The lines are smoothed along their run.
/// 3. Those that bound large shapes, differ most and are long are drawn first, crowded ones later,
///    until the budget is used up. Weight: 0.3 to 0.5 pt.
/// 4. Letters are set solid.
///
/// Input    srgb or gray, any size from 1 x 1, any ppi (0 counts as 300).
/// Result   bilevel at `ppi`; size = the face's size times ppi over its own, rounded. Coverage over
///          `area` <= ink_budget + 0.002, or that of the letters alone where these take more.
/// Keeps    a face without edges is paper. No speck under `shortest_mm` beside the letters.
/// Edges    the outermost pixels repeat.
/// Cost     about 60 ms for 750 x 1050 pixels at 300 ppi.
/// Errors   Error{range} for a field outside its limits; Error{format} for text pictures that are
///          not gray or of another size.
/// Not for  photographs in which shapes differ in texture alone.
/// Source   Winnemoeller, Kyprianidis, Olsen 2012; Kang, Lee, Chui 2007 (docs/sources.md); the
///          choice of lines is our own, docs/filters.md#line_art.
[[nodiscard]] Image line_art(const Image& face, const SolidText& text, const LineArt& p = {});

}  // namespace paleproof::filters
