// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/srgb.h"

#include <cmath>

namespace paleproof::color {

double linear(std::uint8_t code) {
    const double c = code / 255.0;
    return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

}  // namespace paleproof::color
