// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/deck_plan.h"

#include <utility>

#include "plan/twin_report.h"

namespace paleproof::app {

DeckPlan plan_deck(std::vector<FaceWork>& faces, const Job& job) {
    std::vector<survey::FaceSurvey> surveys;
    for (const FaceWork& face : faces) {
        if (face.survey) surveys.push_back(*face.survey);
    }
    const auto plans = plan::face_plans(surveys, {.bleed = job.bleed,
                                                  .bleed_method = job.bleed_method,
                                                  .ink_budget = effective_ink_budget(job)});
    std::size_t next = 0;
    for (FaceWork& face : faces) {
        if (face.survey) face.plan = plans[next++];
    }
    DeckPlan result;
    result.colors = plan::deck_colors(surveys, job.twins);
    result.twins = plan::told_twins(result.colors, surveys);
    if (job.style != Style::hatch) return result;
    plan::DeckPatterns patterns = plan::deck_patterns(result.colors.palette, surveys.size());
    next = 0;
    for (FaceWork& face : faces) {
        if (face.survey) face.patterns = std::move(patterns.faces[next++]);
    }
    result.legend = std::move(patterns.legend);
    return result;
}

}  // namespace paleproof::app
