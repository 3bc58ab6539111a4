// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/deck_colors.h"

#include <algorithm>
#include <utility>

namespace paleproof::plan {

DeckColors deck_colors(std::span<const survey::FaceSurvey> surveys, const TwinLimits& limits,
                       std::span<const GrayPin> pins, bool with_map) {
    const GrayBase art = with_map ? art_tones(surveys) : ToneField();
    return deck_colors(deck_palette(surveys), with_map ? &art : nullptr, limits, pins);
}

DeckColors deck_colors(DeckPalette palette, const GrayBase* grays, const TwinLimits& limits,
                       std::span<const GrayPin> pins) {
    DeckColors result;
    result.palette = std::move(palette);
    result.gray_twins = gray_twins(result.palette, limits);
    result.vision_twins = vision_twins(result.palette, limits);
    if (grays != nullptr) result.gray = gray_map(result.palette, *grays, limits, pins);
    const auto printed = [&](color::Rgb8 c) { return color::lightness_of_gray(result.gray(c)); };
    for (const TwinPair& twin : gray_twins(result.palette, limits, printed)) {
        result.needs_pattern.push_back(twin.pair);
        result.needs_pattern.insert(result.needs_pattern.end(), twin.also.begin(), twin.also.end());
    }
    std::ranges::sort(result.needs_pattern);
    return result;
}

}  // namespace paleproof::plan
