// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cstdint>
#include <cstdlib>

#include "color/srgb.h"
#include "core/text_line.h"

namespace paleproof::survey {

/// Relative luminance 0..1 of a color (WCAG 2.2).
[[nodiscard]] inline double luminance(const RgbCode& c) {
    return color::relative_luminance({c[0], c[1], c[2]});
}

/// The code of the gray that is as light as a color.
[[nodiscard]] inline std::uint8_t gray_of(const RgbCode& c) {
    return color::gray_code(c[0], c[1], c[2]);
}

/// The most by which two colors differ in one channel, in codes.
[[nodiscard]] inline int apart(const RgbCode& a, const RgbCode& b) {
    return std::max({std::abs(a[0] - b[0]), std::abs(a[1] - b[1]), std::abs(a[2] - b[2])});
}

}  // namespace paleproof::survey
