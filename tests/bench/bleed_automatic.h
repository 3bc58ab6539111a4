// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "filters/bleed.h"
#include "plan/face_plan.h"
#include "survey/border.h"
#include "survey/repeats.h"

namespace paleproof::bench {

/// Bleed of `margin` pixels on every edge of a card at 300 ppi, as the tool makes it: the methods
/// follow from the survey of the edges.
inline Image automatic_bleed(const Image& card, int margin) {
    survey::FaceSurvey face;
    face.image = card.size();
    face.place = survey::placement({.image = card.size(), .declared = Ppi{300}});
    face.borders = survey::borders(card, card.bounds(), Ppi{300});
    const auto art = [](const survey::Border& b) { return b.width_px <= 0.0 || b.open; };
    face.repeats = survey::repeats(card, card.bounds(), Ppi{300},
                                   {art(face.borders.top), art(face.borders.right),
                                    art(face.borders.bottom), art(face.borders.left)});
    const plan::FacePlan plan =
        plan::face_plans({&face, 1}, {.bleed = from_pixels(margin, Ppi{300})}).front();
    const auto step = [](const survey::RepeatStep& repeat) {
        return filters::Repeat{repeat.along, repeat.inward};
    };
    return filters::bleed(card, {.amount = {margin, margin, margin, margin},
                                 .method = plan.bleed_method,
                                 .border = plan.border_px,
                                 .repeat = {step(plan.repeat.top), step(plan.repeat.right),
                                            step(plan.repeat.bottom), step(plan.repeat.left)}});
}

}  // namespace paleproof::bench
