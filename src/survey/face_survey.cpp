// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/face_survey.h"

namespace paleproof::survey {

FaceSurvey survey_face(const Face& face, const PlacementQuestion& question,
                       const color::Separation& separation) {
    FaceSurvey result;
    result.name = face.name;
    result.image = face.image.size();
    result.place = placement(question);
    const TrimPlacement& place = result.place.placement;
    const RectPx trimmed = intersection(place.trim_px, face.image.bounds());
    result.edges = edges(face.image, trimmed, place.ppi);
    result.ink = separation.ink(face.image, trimmed, place.ppi);
    return result;
}

}  // namespace paleproof::survey
