// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <vector>

#include "survey/text/strokes.h"

namespace paleproof::survey {

/// Ink coverage of a run, row by row along its own base line.
struct Profile {
    std::vector<double> rows;
    double ink = 0.0;      ///< pixels of full ink
    double outline = 0.0;  ///< pixels: the total variation of the coverage
};

[[nodiscard]] Profile profile_of(const Strokes& strokes, std::span<const Piece> pieces);

/// How tall the letters of a run of pieces are, in strip pixels.
struct Heights {
    double x = 0.0;    ///< x-height, or the height of capitals where only these show
    double cap = 0.0;  ///< capitals or ascenders; 0 where none shows
    bool capitals_only = false;
    int rising = 0, hanging = 0;  ///< letters that reach above and below the small ones
};

/// From the edges of the single letters, to a fraction of a pixel; where letters hang together,
/// from the rows in which the profile of the ink crosses half its contrast.
[[nodiscard]] Heights heights_of(const Strokes& strokes, std::span<const Piece> pieces);

}  // namespace paleproof::survey
