// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "core/bleed_method.h"
#include "survey/face_survey.h"

namespace paleproof::plan {

/// What the job asks of every face.
struct Wishes {
    Mm bleed{3.0};
    Edges<std::optional<BleedMethod>> bleed_method{};  ///< nothing = chosen for the edge
    double ink_budget = 0.12;  ///< mean coverage of a proof, 0..1; 1 = no lightening
};

/// What will be done to one face.
struct FacePlan {
    double ink_budget = 1.0;
    /// Pixels to add on each edge of the picture (negative: to cut away) so that it reaches exactly
    /// to trim + bleed.
    Edges<int> bleed_px;
    Edges<BleedMethod> bleed_method;
    RectPx art_px;         ///< what of the picture is art; the amounts count from there
    Edges<int> border_px;  ///< flat: the border's width; else where a frame begins; 0 = none
    Edges<survey::RepeatStep> repeat;
    std::array<double, 4> corner_px{};  ///< radii of round corners that are filled first
    /// Boxes near the edges that the added bleed must not show again: lines of text.
    std::vector<RectPx> text_px;
    Edges<Mm> bleed_mm;  ///< art past the trim in the proof: whole pixels, at least what was asked;
                         ///< 0 on an edge where nothing is to be added
    /// Trim and picture of the finished proof, in its own pixels.
    RectPx proof_trim_px;
    SizePx proof_px;
};

/// Plans of all faces, in their order, from the surveys of the whole deck.
[[nodiscard]] std::vector<FacePlan> face_plans(std::span<const survey::FaceSurvey> surveys,
                                               const Wishes& wishes);

}  // namespace paleproof::plan
