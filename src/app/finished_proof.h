// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>

#include "app/face_work.h"
#include "app/styles.h"
#include "core/image.h"

namespace paleproof::app {

/// A proof as it is written, and what is needed to measure it.
struct FinishedProof {
    Image picture;   ///< trim + bleed, at the resolution of the style
    RectPx trim_px;  ///< where the trim lies in it
    Image on_face;   ///< as large as the source, its pixels over those of the source
    RectPx extent;   ///< of the picture, in pixels of the source
};

/// The proof of a face in the job's style, with its bleed. Most styles are made on the source and
/// get their bleed afterward; drawn styles are made on the source with its bleed. `guard` says how
/// strongly each line of `work.result.text` is guarded; empty = as usual.
[[nodiscard]] FinishedProof finished_proof(const FaceWork& work, const Image& source,
                                           const Job& job, const color::Separation& inks,
                                           std::span<const Guard> guard = {});

}  // namespace paleproof::app
