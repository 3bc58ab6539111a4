// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "color/srgb.h"

namespace paleproof::color {

/// CIEDE2000 with kL = kC = kH = 1: about 1 is just seen side by side, 20 is another color. Both
/// Lab must be for the same white. Same result in either order.
/// Source: Sharma, Wu, Dalal, Color Res. Appl. 30(1):21-30, 2005 (ISO/CIE 11664-6).
[[nodiscard]] double ciede2000(const Lab& a, const Lab& b);

/// Euclidean distance in CIELAB (CIE 1976, delta E*ab).
[[nodiscard]] double delta_e76(const Lab& a, const Lab& b);

}  // namespace paleproof::color
