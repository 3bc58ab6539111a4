// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::survey {

/// What the art does along one edge of the trimmed area.
struct EdgeSurvey {
    bool flat = false;    ///< one color along the whole edge, but for noise
    double spread = 0.0;  ///< standard deviation of the strip, 8-bit codes, largest channel
};

/// The strip of 1 mm (at least 2 px) inside each edge of `area`, which lies in the picture and is
/// not empty. Flat means that the strip's spread stays under 6 codes, which JPEG noise and paper
/// texture reach and painted art does not (own construction; the limit is common practice, no
/// source).
[[nodiscard]] Edges<EdgeSurvey> edges(const Image& image, RectPx area, Ppi ppi);

}  // namespace paleproof::survey
