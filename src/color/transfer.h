// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <optional>

#include "color/shaper.h"
#include "color/source_profile.h"

namespace paleproof::color {

/// Decoding curve of PNG's gAMA value (/ 100000): value^(1 / file_gamma); the sRGB curve for
/// 0.45455, to the last digit that the chunk holds.
[[nodiscard]] Shaper::Curve gamma_curve(double file_gamma);

/// ITU-T H.273, table 3: transfer characteristics; nothing for a code that is not handled.
[[nodiscard]] std::optional<Shaper::Curve> h273_curve(std::uint8_t transfer);

/// ITU-T H.273, table 2: color primaries; nothing for a code that is not handled.
[[nodiscard]] std::optional<Chromaticities> h273_primaries(std::uint8_t primaries);

}  // namespace paleproof::color
