// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

namespace paleproof::filters {

/// The 8-connected patches of nonzero bytes on a grid, as runs: what takes little of the picture
/// takes little time.
struct Patches {
    struct Run {
        int y = 0, begin = 0, end = 0;  ///< columns begin..end-1
        int patch = 0;
    };
    struct Patch {
        int left = 0, top = 0, right = 0, bottom = 0;  ///< right and bottom one past the last
        int area = 0;
    };
    std::vector<Run> runs;       ///< by row, from the left
    std::vector<Patch> patches;  ///< numbered in the order of their first run
};

[[nodiscard]] Patches patches_of(const std::uint8_t* mask, int width, int height);

}  // namespace paleproof::filters
