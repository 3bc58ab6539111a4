// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>

#include "core/text_line.h"
#include "survey/text/strokes.h"
#include "survey/text/text_finder.h"

namespace paleproof::survey {

/// The colors of a run of letters and what they reach against what lies around them.
struct LineContrast {
    RgbCode text{0, 0, 0};
    RgbCode ground{255, 255, 255};
    double screen = 1.0;  ///< WCAG 2.2, reached by 90 % of the length
    double paper = 1.0;
};

/// `stroke` is the width of the strokes in strip pixels: where it is thin, the core of a stroke
/// shows in few pixels only, and these are looked for, unless the letters' color is known.
[[nodiscard]] LineContrast contrast_of(const Strip& strip, const Strokes& strokes,
                                       std::span<const Piece> pieces, double stroke,
                                       const PaperLuminance& paper,
                                       const std::optional<RgbCode>& known = std::nullopt);

}  // namespace paleproof::survey
