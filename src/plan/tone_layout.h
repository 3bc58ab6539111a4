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
    double enough =
        1e9;  ///< L* with which two that nothing else moves are let be, if under the gap
};

/// Lightness of each wish: the gaps kept where their ranges leave room, else as nearly as it goes,
/// and all as near to their starts as that allows. Of colors without a settled order, those that
/// start lighter stay lighter unless swapping two neighbors moves less. Deterministic.
[[nodiscard]] std::vector<double> tone_layout(std::span<const ToneWish> wishes,
                                              std::span<const ToneGap> gaps);

/// Where each wish comes to lie, and whether that is not where it began.
struct ToneMoves {
    std::vector<double> at;   ///< L*
    std::vector<bool> moved;  ///< those that stayed have their start
};

/// The layout in which only those move that are nearer to another than their gap, and what is in
/// their way then. So one color more on one face leaves the others where they are, and with them
/// the gray of the other faces. Deterministic.
[[nodiscard]] ToneMoves tone_moves(std::span<const ToneWish> wishes, std::span<const ToneGap> gaps);

}  // namespace paleproof::plan
