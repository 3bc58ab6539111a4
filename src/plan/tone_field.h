// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <vector>

#include "color/srgb.h"
#include "survey/palette.h"

namespace paleproof::plan {

/// A smooth shift of lightness over CIELAB: what a color's gray has over its L*.
///
/// Given by values on a grid (trilinear between them). Neutrals have none. The shift is at most
/// `most_shift` L*, and changes by at most `steepest` L* for a unit of L*, a* or b*: so two colors
/// that differ only in lightness keep their order, and any that differ by 2 x most_shift do.
class ToneField {
  public:
    static constexpr double most_shift = 20.0;   ///< L*
    static constexpr double steepest = 0.9;      ///< along L*
    static constexpr double steepest_hue = 1.3;  ///< along a* and b*

    static constexpr std::size_t most_pairs = 16384;  ///< that are looked at

    /// No shift anywhere.
    ToneField();

    /// Shifts under which as many as possible of the contrasts between neighboring colors are seen
    /// in gray: of each pair, as much of its CIELAB distance as counts for CCPR with thresholds 1
    /// to 15 (lu2012). Of more than most_pairs some are looked at, evenly taken. Deterministic.
    explicit ToneField(std::span<const survey::Neighbors> neighbors);

    [[nodiscard]] double shift(const color::Lab& lab) const;

  private:
    std::vector<double> values_;
};

}  // namespace paleproof::plan
