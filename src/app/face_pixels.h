// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

#include "app/job.h"
#include "codec/read_face.h"
#include "core/deck.h"
#include "survey/placement.h"

namespace paleproof::app {

/// A face as the run works on it.
struct FacePixels {
    codec::ReadFace read;
    std::optional<SizePx> scaled_from;  ///< size in the file when the job had it stretched
};

/// What the job asks of the placement of a picture of this size.
[[nodiscard]] survey::PlacementQuestion placement_question(const Face& face, const Job& job);

/// Reads a face; with fit = scale and another shape than the card's, stretches it to that shape.
/// Error as codec::read_face.
[[nodiscard]] FacePixels read_pixels(const DeckFace& entry, const Job& job);

}  // namespace paleproof::app
