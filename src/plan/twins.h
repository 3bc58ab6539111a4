// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "color/vision.h"
#include "core/field.h"
#include "core/finding.h"
#include "plan/deck_palette.h"

namespace paleproof::plan {

/// When two colors are clearly two, and when they become one. Sources: docs/findings.md.
struct TwinLimits {
    double told_apart = 20.0;             ///< CIEDE2000 from which two colors are clearly two
    double min_gray_difference = 10.0;    ///< L*
    double min_vision_difference = 10.0;  ///< CIEDE2000 of the simulated colors
    double vision_severity = 1.0;         ///< 0 usual vision .. 1 a cone type missing
};

/// Two clusters that stand for different things and become one.
struct TwinPair {
    Rule rule = Rule::gray_twins;
    std::size_t pair = 0;                          ///< index into DeckPalette::pairs
    color::Vision vision = color::Vision::protan;  ///< of vision-twins: the eyes that see least
    double color_difference = 0.0;                 ///< CIEDE2000 for usual eyes
    double difference = 0.0;                       ///< L* or CIEDE2000, as the rule says
    double limit = 0.0;
    /// Pairs of smaller areas that merge on the same faces, and so say the same.
    std::vector<std::size_t> also{};
    std::optional<double> cross_check{};  ///< CIEDE2000 by Vienot 1999, protan and deutan
};

/// A color whose gray is given: 0 black .. 1 paper, as a share of the codes.
struct GrayPin {
    color::Rgb8 color;
    double gray = 0.0;
};

/// L* of the gray that a color is printed in.
using GrayOf = std::function<double(color::Rgb8)>;

/// L* of the color itself: gray by lightness alone.
[[nodiscard]] double lightness_gray(color::Rgb8 color);

/// The telling pairs that become one, each once a rule, the worst first. Pairs that are no clear
/// pair in color are left out, and those of smaller areas whose faces another code of the deck, in
/// larger areas, tells apart all the same. Error{range} for a severity outside 0..1.
[[nodiscard]] std::vector<TwinPair> gray_twins(const DeckPalette& palette, const TwinLimits& limits,
                                               const GrayOf& gray = lightness_gray);
[[nodiscard]] std::vector<TwinPair> vision_twins(const DeckPalette& palette,
                                                 const TwinLimits& limits);

}  // namespace paleproof::plan
