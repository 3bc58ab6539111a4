// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <vector>

#include "app/face_work.h"
#include "core/legend.h"
#include "plan/deck_colors.h"

namespace paleproof::app {

/// What was decided for the deck as a whole.
struct DeckPlan {
    plan::DeckColors colors;
    std::vector<Twin> twins;          ///< as the sources have them
    std::vector<LegendEntry> legend;  ///< of the patterns, which only style hatch has
};

/// Where all faces meet: decides what is done to each (into `faces`) and what their colors mean
/// together. Faces that could not be read are left out. `with_map` makes the gray map, too, in the
/// style that has one; it takes most of the time. `earlier` is the map that it carries on.
[[nodiscard]] DeckPlan plan_deck(std::vector<FaceWork>& faces, const Job& job, bool with_map,
                                 const std::optional<color::GrayTable>& earlier = std::nullopt);

/// Judges the twins again in the proofs, by what was measured at FaceWork::cores.
void judge_twins_again(DeckPlan& plan, const std::vector<FaceWork>& faces);

}  // namespace paleproof::app
