// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstdint>
#include <string>

#include "core/legend.h"

namespace paleproof {

/// A color that stands for something in a deck, and the pattern that says so in black and white.
struct ColorPattern {
    std::array<std::uint8_t, 3> color{};  ///< sRGB codes
    std::string label;                    ///< "red"
    PatternSample sample;
};

}  // namespace paleproof
