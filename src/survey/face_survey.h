// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "color/separation.h"
#include "core/deck.h"
#include "core/ink.h"
#include "core/text_line.h"
#include "survey/edges.h"
#include "survey/palette.h"
#include "survey/placement.h"
#include "survey/text/text_finder.h"

namespace paleproof::survey {

/// What was measured on a face.
struct FaceSurvey {
    std::string name;
    SizePx image;
    PlacementAnswer place;
    Edges<EdgeSurvey> edges;  ///< of the trimmed area
    InkUse ink;               ///< of the trimmed area
    std::vector<TextLine> text;
    Palette palette;  ///< of the trimmed area
    bool text_cut = false;  ///< there was more text than a survey keeps
};

/// Measures a face: where its trim lies, its edges, its ink, its text, its colors. Pure; errors none.
[[nodiscard]] FaceSurvey survey_face(const Face& face, const PlacementQuestion& question,
                                     const color::Separation& separation, const TextFinder& finder);

}  // namespace paleproof::survey
