// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "core/geometry.h"

namespace paleproof {

/// Ink of one face. Coverage = nominal tone value averaged over the trimmed area, a share 0..1.
struct InkUse {
    double c = 0, m = 0, y = 0, k = 0;  ///< mean coverage per ink, 0..1
    double total = 0;                   ///< their sum, 0..4
    double peak = 0;    ///< highest total coverage of a 1 mm patch (99.9th percentile), 0..4
    RectPx peak_box{};  ///< the patch that has it, in pixels of the measured image
};

/// An ink cartridge as it is sold. Its rated yield counts pages on which each of its inks covers
/// about 5 % (ISO/IEC 24711 and 24712, 19752 and 19798).
struct Cartridge {
    std::string inks;    ///< the inks in it: "k", "c", or "cmy" for three chambers in one
    double price = 0.0;  ///< in the job's currency; 0 = not known
    double pages = 0.0;  ///< rated yield
};

}  // namespace paleproof
