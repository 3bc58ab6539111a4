// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace paleproof::plan {

/// A color that is to get a lightness.
struct ToneWish {
    double start = 0.0;   ///< L* that it has when nothing pushes
    double lowest = 0.0;  ///< L* that it may get
    double highest = 100.0;
};

/// Two of them that must differ.
struct ToneGap {
    std::size_t a = 0, b = 0;  ///< indices of wishes
    double gap = 0.0;          ///< L* at least
    /// Which of the two is lighter is settled: `a`.
    bool ordered = false;
};

/// Lightness of each wish: the gaps kept where their ranges leave room, else as nearly as it goes,
/// and all as near to their starts as that allows. Of colors without a settled order, those that
/// start lighter stay lighter unless swapping two neighbors moves less. Deterministic.
[[nodiscard]] std::vector<double> tone_layout(std::span<const ToneWish> wishes,
                                              std::span<const ToneGap> gaps);

}  // namespace paleproof::plan
