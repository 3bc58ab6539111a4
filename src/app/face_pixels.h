// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

#include "app/job.h"
#include "codec/file_bytes.h"
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

/// The bytes of a face's file. Error as codec::file_bytes.
[[nodiscard]] codec::FileBytes read_file(const DeckFace& entry);

/// The picture in these bytes; with fit = scale and another shape than the card's, stretched to
/// that shape. Error as codec::read_face.
[[nodiscard]] FacePixels pixels_of(const codec::FileBytes& file, const DeckFace& entry,
                                   const Job& job);

}  // namespace paleproof::app
