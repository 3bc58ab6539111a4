// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>

#include "survey/text/strokes.h"

namespace paleproof::survey {

/// The code that a share of the counted pixels does not exceed; 0.5 gives the median.
[[nodiscard]] int code_at(const std::array<int, 256>& counts, int total, double share = 0.5);

/// Compares the pieces with what lies around them, which tells letters from the gaps between them.
///
/// typical  the ground under the pieces
/// leak     share of the outline above and below the pieces where the ink's tone goes on
/// apart    the tone around the run, 0 = that of the ink, 1 = that of the ground: gaps have the
/// tone
///          of what lies around, letters do not
/// plain    the tone around is even and nothing in the band lies beyond it: one ink on one ground,
///          and the other polarity shows gaps only
///
/// `mask` is the ink_mask of the strokes.
void look_around(Strokes& strokes, const Plane8& mask);

}  // namespace paleproof::survey
