// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace paleproof {

/// The least value of each column of a grid. Where it is high, something runs through from top to
/// bottom: beside a line of text the rule of a frame, as no letter does.
[[nodiscard]] inline std::vector<std::uint8_t> least_of_columns(const std::uint8_t* grid, int width,
                                                                int height) {
    std::vector<std::uint8_t> least(static_cast<std::size_t>(width), 255);
    for (int y = 0; y < height; ++y) {
        const std::uint8_t* row =
            grid + static_cast<std::size_t>(y) * static_cast<std::size_t>(width);
        for (std::size_t x = 0; x < least.size(); ++x) least[x] = std::min(least[x], row[x]);
    }
    return least;
}

}  // namespace paleproof
