// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <optional>

#include "color/source_profile.h"

namespace paleproof::color {

/// 3 x 3, rows first.
using Matrix3 = std::array<std::array<double, 3>, 3>;

[[nodiscard]] Matrix3 product(const Matrix3& a, const Matrix3& b);

/// Nothing when the matrix has no usable inverse.
[[nodiscard]] std::optional<Matrix3> inverse(const Matrix3& m);

/// Linear RGB of these primaries -> XYZ relative to D50, the white adapted by the Bradford
/// transform as ICC profiles do (ICC.1:2010, annex E). Nothing when the primaries are no triangle
/// or white is not inside it.
[[nodiscard]] std::optional<Matrix3> to_xyz_d50(const Chromaticities& primaries);

/// XYZ relative to D50 -> linear sRGB.
[[nodiscard]] const Matrix3& srgb_from_xyz_d50();

}  // namespace paleproof::color
