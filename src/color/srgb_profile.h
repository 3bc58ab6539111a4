// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

namespace paleproof::color {

/// A matrix profile of sRGB (IEC 61966-2-1), ICC version 4, for files that tag their colors. The
/// same bytes each time: its date is a fixed one.
[[nodiscard]] std::vector<std::uint8_t> srgb_icc();

}  // namespace paleproof::color
