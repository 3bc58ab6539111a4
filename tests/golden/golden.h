// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "core/image.h"

namespace paleproof::test {

/// What a result may differ by from its golden.
struct GoldenLimit {
    int step = 1;          ///< codes that any value may be off
    double flipped = 0.0;  ///< of 1-bit pictures instead: share of pixels, each beside an edge
};

inline constexpr GoldenLimit exact{0, 0.0};     ///< whole-number work
inline constexpr GoldenLimit rounded{1, 0.0};   ///< through floating point or resampling
inline constexpr GoldenLimit drawn{0, 0.0005};  ///< 1-bit line art

/// Compares with fixtures/expected/`filter`/`name`.png, pixel by pixel. A mismatch writes expected,
/// difference and actual side by side into the test's scratch folder and tells the worst step, the
/// share of pixels and the first bad one. A golden that is missing fails; with
/// PALEPROOF_MAKE_GOLDEN=1 it is written, and the test fails all the same.
/// Returns "" when the result is as expected, else what differs.
[[nodiscard]] std::string golden_mismatch(const std::string& filter, const std::string& name,
                                          const Image& actual, GoldenLimit limit);

}  // namespace paleproof::test
