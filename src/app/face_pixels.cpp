// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/face_pixels.h"

#include <cstdint>

#include "filters/fit.h"
#include "survey/crop_marks.h"

namespace paleproof::app {

survey::PlacementQuestion placement_question(const Face& face, const Job& job) {
    return {.image = face.image.size(),
            .declared = face.image.ppi(),
            .size = job.size,
            .bleed = job.bleed,
            .fit = job.fit,
            .cut_wander = job.cut_wander};
}

codec::FileBytes read_file(const DeckFace& entry) {
    return codec::file_bytes(entry.source, codec::ReadLimits{}.max_file_bytes);
}

FacePixels pixels_of(const codec::FileBytes& file, const DeckFace& entry, const Job& job) {
    FacePixels result{
        codec::read_face(file.span(), entry.source.string(),
                         {.max_pixels = static_cast<std::uint64_t>(job.max_megapixels * 1e6)}),
        std::nullopt};
    if (job.fit != FitMethod::scale) return result;
    Face& face = result.read.face;
    const survey::PlacementAnswer answer = survey::placement(placement_question(face, job));
    // What crop marks enclose is cut out, not stretched.
    if (answer.shape_off <= 0.0 || survey::crop_marks(face.image)) return result;
    const RectPx trim = answer.placement.trim_px;
    result.scaled_from = face.image.size();
    face.image = filters::fit(face.image, {trim.width, trim.height});
    if (face.mask) face.mask = filters::fit(*face.mask, {trim.width, trim.height});
    return result;
}

}  // namespace paleproof::app
