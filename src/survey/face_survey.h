// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "color/separation.h"
#include "core/deck.h"
#include "core/ink.h"
#include "core/symbol.h"
#include "core/text_line.h"
#include "survey/border.h"
#include "survey/corners.h"
#include "survey/cut.h"
#include "survey/edges.h"
#include "survey/palette.h"
#include "survey/placement.h"
#include "survey/repeats.h"
#include "survey/sharpness.h"
#include "survey/text/text_finder.h"

namespace paleproof::survey {

/// What was measured on a face.
struct FaceSurvey {
    std::string name;
    SizePx image;
    PlacementAnswer place;
    Edges<EdgeSurvey> edges;    ///< of the trimmed area
    Edges<Border> borders;      ///< of the trimmed area
    Edges<RepeatStep> repeats;  ///< of the trimmed area, where it has no border
    RoundCorners corners;       ///< of the trimmed area
    Sharpness sharpness;        ///< of the trimmed area
    bool crop_marks = false;    ///< printed ones were found, and rule the placement
    FitMethod fit = FitMethod::keep;
    std::optional<SizePx> scaled_from;  ///< the picture was stretched from that to the card's shape
    CutSurvey cut;                      ///< for the wander that was asked for
    InkUse ink;                         ///< of the trimmed area
    std::vector<TextLine> text;
    Palette palette;              ///< of the trimmed area
    std::vector<Symbol> symbols;  ///< small signs on even grounds
    bool text_cut = false;        ///< there was more text than a survey keeps
};

/// What a survey is for. No finding needs what repeats at the edges, nor the symbols.
enum class Purpose { findings, proofs };

/// Measures a face: where its trim lies, its edges, its ink, its text, its colors. Pure; errors
/// none.
[[nodiscard]] FaceSurvey survey_face(const Face& face, const PlacementQuestion& question,
                                     const color::Separation& separation, const TextFinder& finder,
                                     Purpose purpose = Purpose::proofs);

}  // namespace paleproof::survey
