// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/face_plan.h"

#include <cmath>

namespace paleproof::plan {
namespace {

/// Whole pixels that cover the bleed. A rounding error above a whole pixel is not a pixel more.
int bleed_pixels(Mm bleed, Ppi ppi) {
    return static_cast<int>(std::ceil(pixels(bleed, ppi) - 1e-6));
}

BleedMethod method_for(int missing_px, int wanted_px, const survey::EdgeSurvey& edge) {
    if (missing_px <= 0) {
        return wanted_px > 0 ? BleedMethod::present : BleedMethod::none;
    }
    return edge.flat ? BleedMethod::flat : BleedMethod::carry;
}

FacePlan face_plan(const survey::FaceSurvey& face, const Wishes& wishes) {
    const TrimPlacement& place = face.place.placement;
    const RectPx trim = place.trim_px;
    const int wanted = bleed_pixels(wishes.bleed, place.ppi);
    FacePlan plan;
    plan.ink_budget = wishes.ink_budget;
    plan.bleed_px = {wanted - trim.y, trim.right() + wanted - face.image.width,
                     trim.bottom() + wanted - face.image.height, wanted - trim.x};
    plan.bleed_method = {method_for(plan.bleed_px.top, wanted, face.edges.top),
                         method_for(plan.bleed_px.right, wanted, face.edges.right),
                         method_for(plan.bleed_px.bottom, wanted, face.edges.bottom),
                         method_for(plan.bleed_px.left, wanted, face.edges.left)};
    const Mm reach = from_pixels(wanted, place.ppi);
    plan.bleed_mm = {reach, reach, reach, reach};
    plan.proof_trim_px = {wanted, wanted, trim.width, trim.height};
    plan.proof_px = {trim.width + 2 * wanted, trim.height + 2 * wanted};
    return plan;
}

}  // namespace

std::vector<FacePlan> face_plans(std::span<const survey::FaceSurvey> surveys,
                                 const Wishes& wishes) {
    std::vector<FacePlan> plans;
    plans.reserve(surveys.size());
    for (const survey::FaceSurvey& face : surveys) {
        plans.push_back(face_plan(face, wishes));
    }
    return plans;
}

}  // namespace paleproof::plan
