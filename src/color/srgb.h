// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>

namespace paleproof::color {

/// Linear light 0..1 of an 8-bit sRGB code (IEC 61966-2-1:1999, 5.2).
[[nodiscard]] double linear(std::uint8_t code);

}  // namespace paleproof::color
