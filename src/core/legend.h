// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/units.h"

namespace paleproof {

/// Parallel lines of a pattern.
struct PatternLines {
    double angle_deg = 0.0;  ///< 0 horizontal, 45 rises to the right, 90 upright
    Mm pitch{1.0};           ///< from line to line
    Mm width{0.1};
    friend bool operator==(const PatternLines&, const PatternLines&) = default;
};

/// A square grid of dots.
struct PatternDots {
    Mm pitch{1.0};
    Mm diameter{0.4};
    friend bool operator==(const PatternDots&, const PatternDots&) = default;
};

/// What an area that stands for a color looks like in print: a gray, black lines over it, dots.
struct PatternSample {
    double gray = 1.0;  ///< 0 black to 1 paper
    std::vector<PatternLines> lines;
    std::optional<PatternDots> dots;
    friend bool operator==(const PatternSample&, const PatternSample&) = default;
};

/// One line of the legend that the first sheet carries: "red" and its pattern.
struct LegendEntry {
    std::string label;
    PatternSample sample;
    friend bool operator==(const LegendEntry&, const LegendEntry&) = default;
};

}  // namespace paleproof
