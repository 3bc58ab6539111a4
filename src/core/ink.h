// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <string>

#include "core/geometry.h"

namespace paleproof {

/// Ink of one face. Coverage = nominal tone value averaged over the trimmed area, a share 0..1.
struct InkUse {
    double c = 0, m = 0, y = 0, k = 0;  ///< mean coverage per ink, 0..1
    double total = 0;                   ///< their sum, 0..4
    double peak = 0;  ///< highest total coverage of a 1 mm patch (99.9th percentile), 0..4
    RectPx peak_box;  ///< the patch that has it, in pixels of the measured image
};

}  // namespace paleproof
