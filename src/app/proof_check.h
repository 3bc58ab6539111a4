// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "app/face_work.h"
#include "core/image.h"

namespace paleproof::app {

/// Measures a proof against its face: sets what became of each text line in `work.result` and adds
/// the findings `text-lost` and `budget-missed`. The color style, whose pixels are the source's, is
/// not measured.
void check_proof(FaceWork& work, const Image& source, const Image& proof, const Job& job);

}  // namespace paleproof::app
