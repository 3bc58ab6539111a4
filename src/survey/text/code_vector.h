// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cmath>

namespace paleproof::survey {

/// sRGB codes as numbers, for means and shares of the way between colors.
using CodeVector = std::array<double, 3>;

[[nodiscard]] inline CodeVector minus(const CodeVector& a, const CodeVector& b) {
    return {a[0] - b[0], a[1] - b[1], a[2] - b[2]};
}
[[nodiscard]] inline double dot(const CodeVector& a, const CodeVector& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
[[nodiscard]] inline double length(const CodeVector& a) { return std::sqrt(dot(a, a)); }

}  // namespace paleproof::survey
