// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "survey/text/band_net.h"

namespace paleproof::survey {

/// A place where the net sees text: a box between base line and x-height, in pixels of the face.
struct Band {
    double x = 0.0, y = 0.0;  ///< center
    double length = 0.0;      ///< along the line
    double height = 0.0;      ///< between base line and x-height
    double angle = 0.0;       ///< radians, clockwise from the x axis, -pi/4 .. 3 pi/4
    double strength = 0.0;    ///< mean logit over the upper half of the cells
    double peak = 0.0;        ///< highest logit
    bool mark = false;        ///< the net takes it for a single glyph
    bool compact = false;     ///< too short for its direction to be known
};

/// The bands of a map, strongest first, at most `most`.
[[nodiscard]] std::vector<Band> bands_in(const BandMap& map, std::size_t most);

}  // namespace paleproof::survey
