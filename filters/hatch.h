// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <span>
#include <vector>

#include "core/color_pattern.h"
#include "core/field.h"
#include "core/image.h"

namespace paleproof::filters {

struct Hatch {
    double ink_budget = 0.04;   ///< mean coverage the patterns may have over `area`
    double tolerance = 14.0;    ///< CIELAB distance up to which a pixel has a pattern's color
    double smallest_mm2 = 1.0;  ///< smaller areas get no pattern
    double ppi = 600.0;         ///< of the result
    RectPx area{};              ///< where coverage is measured, in pixels of the face; empty = all
    int origin_x = 0;           ///< the trim's corner in pixels of the face: patterns start there
    int origin_y = 0;
};

inline constexpr std::array hatch_fields{
    Field<Hatch>{"ink-budget", "share of area", &Hatch::ink_budget, 0.0, 1.0},
    Field<Hatch>{"tolerance", "CIELAB distance", &Hatch::tolerance, 1.0, 50.0},
    Field<Hatch>{"smallest", "square mm", &Hatch::smallest_mm2, 0.0, 1000.0},
    Field<Hatch>{"ppi", "pixels per inch", &Hatch::ppi, 300.0, 1200.0},
};

/// A pattern and where on this face its color stands for something.
struct HatchArea {
    ColorPattern pattern;
    std::vector<RectPx> places;  ///< in pixels of the face: areas that reach into one are hatched
};

/// The areas of a face whose color carries meaning, filled with the patterns of their colors.
///
/// 1. A pixel has the color of the nearest pattern within `tolerance`; what of one color lies in
///    its places is taken, thin and small parts are left out, and so are narrow strips beside text.
/// 2. They are filled with the pattern, whose lines are fixed to the corner of the trim: the same
///    on every face, on into the bleed.
/// 3. Of an area of which `ground` takes a fifth only a band of 2 mm along its edge is filled.
/// 4. Where that takes more ink than the budget, only a band along the areas' edges is filled, as
///    broad as the budget allows.
///
/// Input    srgb; `ground`: gray, as large as the face, dark where nothing may be set, or empty.
/// Result   bilevel at `ppi`, size as line_art gives it: the patterns alone, on paper; coverage
///          over `area` <= ink_budget + 0.002.
/// Keeps    a gray face, or one without places, gives paper.
/// Edges    areas end at the picture.
/// Cost     about 30 ms for 750 x 1050 pixels and four patterns.
/// Errors   Error{range} for a field outside its limits, more than 250 areas, or a pattern without
///          pitch; Error{format} for a ground of another size or kind.
/// Not for  colors that run into each other.
/// Source   engravers' hatching of heraldry is the plan's convention; docs/filters.md#hatch.
[[nodiscard]] Image hatch(const Image& face, std::span<const HatchArea> areas, const Image& ground,
                          const Hatch& p = {});

/// Ink where either of two bilevel pictures of one size has ink. Error{format} for others.
[[nodiscard]] Image both_inks(const Image& a, const Image& b);

}  // namespace paleproof::filters
