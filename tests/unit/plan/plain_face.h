// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "survey/face_survey.h"

namespace paleproof::test {

/// The survey of a poker card, 63.5 x 88.9 mm, that ends at its trim and has nothing on it.
inline survey::FaceSurvey plain_face(Ppi ppi) {
    const int width = static_cast<int>(pixels(Mm{63.5}, ppi) + 0.5);
    const int height = static_cast<int>(pixels(Mm{88.9}, ppi) + 0.5);
    survey::FaceSurvey face;
    face.name = "f";
    face.image = {width, height};
    face.place.placement = {.trim = {Mm{63.5}, Mm{88.9}},
                            .ppi = ppi,
                            .trim_px = {0, 0, width, height},
                            .bleed_present = {}};
    face.place.art_px = {0, 0, width, height};
    return face;
}

}  // namespace paleproof::test
