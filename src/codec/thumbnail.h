// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"
#include "core/result.h"

namespace paleproof::codec {

/// A small JPEG (quality 76) for the report, at most `max_width` pixels wide, aspect kept; never
/// enlarged. Gray and bilevel pictures give a gray JPEG.
///
/// Each pixel is the mean of the area that it covers, on sRGB-encoded values: fine black text gets
/// slightly darker than by a reduction in linear light, which suits a picture to recognize cards
/// by, not to measure. Integer arithmetic: deterministic. Thumbnail::frame is left empty.
/// Error{internal} for an empty image or max_width < 1.
[[nodiscard]] Thumbnail thumbnail(const Image& image, int max_width);

}  // namespace paleproof::codec
