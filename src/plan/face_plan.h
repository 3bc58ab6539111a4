// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <vector>

#include "core/bleed_method.h"
#include "survey/face_survey.h"

namespace paleproof::plan {

/// What the job asks of every face.
struct Wishes {
    Mm bleed{3.0};
    double ink_budget = 0.12;  ///< mean coverage of a proof, 0..1; 1 = no lightening
};

/// What will be done to one face.
struct FacePlan {
    double ink_budget = 1.0;
    /// Pixels to add on each edge of the picture (negative: to cut away) so that it reaches exactly
    /// to trim + bleed.
    Edges<int> bleed_px;
    Edges<BleedMethod> bleed_method;
    Edges<Mm> bleed_mm;  ///< art past the trim in the proof: whole pixels, at least what was asked
    /// Trim and picture of the finished proof, in its own pixels.
    RectPx proof_trim_px;
    SizePx proof_px;
};

/// Plans of all faces, in their order, from the surveys of the whole deck.
[[nodiscard]] std::vector<FacePlan> face_plans(std::span<const survey::FaceSurvey> surveys,
                                               const Wishes& wishes);

}  // namespace paleproof::plan
