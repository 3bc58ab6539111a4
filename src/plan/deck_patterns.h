// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

#include "core/color_pattern.h"
#include "core/geometry.h"
#include "plan/deck_palette.h"

namespace paleproof::plan {

/// A pattern and the areas of one face that get it.
struct FacePattern {
    ColorPattern pattern;
    std::vector<RectPx> places;  ///< in pixels of the face: the box of each area
};

struct DeckPatterns {
    std::vector<std::vector<FacePattern>> faces;  ///< by index of the survey
    std::vector<LegendEntry> legend;              ///< each pattern once, the most used first
};

/// The patterns of hatch_code for the colors of a deck that stand for something: those of its
/// telling pairs, on symbols, panels and borders, if they lie at one place of different faces (side
/// by side on one face where no such pair is) nearly as often as the pair that shows on most faces.
/// What is darker than L* 30 is left as paper: its color is a mood more often than a meaning.
/// `faces` is the number of surveys.
[[nodiscard]] DeckPatterns deck_patterns(const DeckPalette& palette, std::size_t faces);

}  // namespace paleproof::plan
