// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "color/gray_table.h"
#include "plan/deck_palette.h"
#include "plan/gray_map.h"
#include "plan/twins.h"

namespace paleproof::plan {

/// What the deck's colors are, which of them become one, and the gray that each is printed in.
struct DeckColors {
    DeckPalette palette;
    std::vector<TwinPair> gray_twins;    ///< by lightness alone, worst first
    std::vector<TwinPair> vision_twins;  ///< worst first
    color::GrayTable gray;               ///< one map for the whole deck
    /// Telling pairs that stay nearer than the limit in that gray: what is to get a pattern.
    /// Indices into palette.pairs, ascending.
    std::vector<std::size_t> needs_pattern;
};

/// All of it from the palette of the whole deck and what its grays begin with (gray_map.h); without
/// that the gray is by lightness. Pure, deterministic. Error{range} for limits or pins that make
/// no sense.
[[nodiscard]] DeckColors deck_colors(DeckPalette palette, const GrayBase* grays,
                                     const TwinLimits& limits, std::span<const GrayPin> pins = {});

/// The same from the surveys; `with_map` false leaves the gray by lightness.
[[nodiscard]] DeckColors deck_colors(std::span<const survey::FaceSurvey> surveys,
                                     const TwinLimits& limits, std::span<const GrayPin> pins = {},
                                     bool with_map = true);

}  // namespace paleproof::plan
