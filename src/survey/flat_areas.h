// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "core/geometry.h"
#include "survey/small_view.h"

namespace paleproof::survey {

/// A connected area of one color, in pixels of the small view.
struct FlatArea {
    std::array<std::uint8_t, 3> color{};
    RectPx box;
    RectPx core;  ///< largest square inside
    int pixels = 0;
    int edge = 0;  ///< steps from a pixel of it to one that is not
};

struct FlatAreas {
    std::vector<FlatArea> areas;  ///< largest first
    std::vector<int> touching;    ///< areas x areas: steps over which two of them lie side by side
};

/// Areas of at least `least` pixels, at most `most` of them.
[[nodiscard]] FlatAreas flat_areas(const SmallView& view, int least, std::size_t most);

}  // namespace paleproof::survey
