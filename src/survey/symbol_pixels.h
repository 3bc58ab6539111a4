// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdlib>

#include "core/geometry.h"
#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::survey {

inline constexpr int margin = 3;             // pixels of ground around the box
inline constexpr int least_difference = 16;  // codes of a channel: storage
inline constexpr int fewest = 12;            // pixels of anything that is measured

/// The channels of a pixel; in gray, its code three times.
using Codes = std::array<int, 3>;

[[nodiscard]] inline Codes at(const Image& face, int x, int y) {
    const std::uint8_t* p = face.row(y) + x * face.channels();
    if (face.channels() == 3) return {p[0], p[1], p[2]};
    return {*p, *p, *p};
}

[[nodiscard]] inline int difference(const Codes& a, const RgbCode& b) {
    return std::max({std::abs(a[0] - b[0]), std::abs(a[1] - b[1]), std::abs(a[2] - b[2])});
}

/// A box and the ground around it.
[[nodiscard]] inline RectPx grown(RectPx box, const Image& within) {
    return intersection(
        {box.x - margin, box.y - margin, box.width + 2 * margin, box.height + 2 * margin},
        within.bounds());
}

}  // namespace paleproof::survey
