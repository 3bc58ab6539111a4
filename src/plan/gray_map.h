// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <variant>

#include "color/gray_table.h"
#include "plan/deck_palette.h"
#include "plan/tone_field.h"
#include "plan/twins.h"

namespace paleproof::plan {

/// Refuses pins that gray_map cannot meet: a pinned neutral, or two pins of nearly one color with
/// different grays. Error{range}.
void check_pins(std::span<const GrayPin> pins);

/// The smooth shift of lightness that the art of a whole deck asks for (tone_field.h). It takes
/// longer than all the rest of the map and needs no palette, so both may be made side by side.
[[nodiscard]] ToneField art_tones(std::span<const survey::FaceSurvey> surveys);

/// What the grays of a deck begin with: the tones that its art asks for, or the map of an earlier
/// edition, which is carried on.
using GrayBase = std::variant<ToneField, color::GrayTable>;

/// One map from color to gray for a whole deck.
///
/// Near L*, shifted where that shows contrasts which lightness alone hides (tone_field.h). Colors
/// of `palette` that tell things apart and are twins in L* get at least
/// 1.25 x min_gray_difference between them, as far as black, white and their own chroma leave
/// room; telling colors that are clear in L* stay clear and in order. `pins` are met to within a
/// gray code. Neutrals keep their code: black stays black, white white, a gray ramp monotone.
/// The same color has one gray on every face. Deterministic.
///
/// The art of `base` is that of the faces that `palette` is made from. A map of an earlier edition
/// of the same pins and limits is handed back as it is, bit by bit, unless it merges telling colors
/// that moving some of them sets apart: so cards of both editions may lie in one deck.
/// Errors: Error{range} for a pinned neutral, or two pins of nearly one color with different grays.
/// Source  own construction, docs/filters.md#tone; contrast measure after lu2012.
[[nodiscard]] color::GrayTable gray_map(const DeckPalette& palette, const GrayBase& base,
                                        const TwinLimits& limits,
                                        std::span<const GrayPin> pins = {});

}  // namespace paleproof::plan
