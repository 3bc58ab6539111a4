// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "color/separation.h"
#include "core/deck.h"
#include "core/ink.h"
#include "core/text_line.h"
#include "survey/edges.h"
#include "survey/placement.h"

namespace paleproof::survey {

/// What was measured on a face.
struct FaceSurvey {
    std::string name;
    SizePx image;
    PlacementAnswer place;
    Edges<EdgeSurvey> edges;  ///< of the trimmed area
    InkUse ink;               ///< of the trimmed area
};

/// Measures a face: where its trim lies, its edges, its ink. Pure; errors none.
[[nodiscard]] FaceSurvey survey_face(const Face& face, const PlacementQuestion& question,
                                     const color::Separation& separation);

}  // namespace paleproof::survey
