// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::app {

/// A small digest of what a trimmed proof looks like: the mean code of each place of a grid of
/// about 1.5 mm, in one channel or three. Another compression, resolution or reader moves it by
/// little, a changed letter by much.
///
/// `trim_px` is the trimmed area in `picture`, `trim` its size on paper. Result: "42x59x1:" and the
/// means in base64 (RFC 4648). Error{internal} when the area does not meet the picture.
[[nodiscard]] std::string look_of(const Image& picture, RectPx trim_px, SizeMm trim);

/// Greatest difference of a place, in codes 0..255. 255 when the grids differ or a digest is none.
[[nodiscard]] double look_difference(const std::string& a, const std::string& b);

/// Up to this, two looks count as the same. Measured: docs/sheets.md, "Only what changed".
/// `bits` of the proofs: dots of a 1-bit drawing flip where gray would change a little.
[[nodiscard]] constexpr double look_tolerance(int bits) { return bits == 1 ? 24.0 : 4.0; }

}  // namespace paleproof::app
