// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::survey {

/// Printed crop marks in the corners of a picture, and what they enclose.
struct CropMarks {
    RectPx trim;  ///< the cut lines, through the middles of the marks
    RectPx art;   ///< trim and the art past it, as far as it goes before the paper or the marks
};

/// Crop marks on the paper around a card: in each corner one level and one upright dark line, at
/// least 1.5 mm long at 300 ppi, at most 1.2 mm thick, apart from everything else, lines of two
/// corners in line within 2 px. All eight must be there. The paper between them is white.
///
/// Lengths are judged at 300 ppi or, for other pictures, in proportion to their size, as the scale
/// is not known before the marks are.
///
/// Errors  none; nothing when there are no such marks.
/// Source  form of the marks: ISO 32000-1, 14.11.2 (printer's marks lie outside the bleed box);
///         their sizes are common practice, no source.
[[nodiscard]] std::optional<CropMarks> crop_marks(const Image& image);

}  // namespace paleproof::survey
