// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cmath>

#include "filters/edge_strip.h"

namespace paleproof::test {

/// A dark line (20) on a light ground (230), antialiased: it meets the trim line, half a pixel
/// outside row 0, at `x0` and runs inward; `slope` = steps along the edge for one step outward.
inline filters::EdgeStrip crossing_line(int length, int rows, double x0, double slope,
                                        double width) {
    filters::EdgeStrip strip(length, rows, 1);
    const double across = std::sqrt(1.0 + slope * slope);
    for (int r = 0; r < rows; ++r) {
        for (int x = 0; x < length; ++x) {
            const double middle = x0 - slope * (r + 0.5);
            const double off = std::abs(x - middle) / across - width / 2.0;
            strip.row(r)[x] = static_cast<float>(230.0 - 210.0 * std::clamp(0.5 - off, 0.0, 1.0));
        }
    }
    return strip;
}

/// Where a dark line lies in a row: the centroid of its darkness around `near`, NaN without one.
inline double line_place(const float* row, int length, double near, double reach) {
    double sum = 0.0;
    double weight = 0.0;
    for (int x = 0; x < length; ++x) {
        const double dark = std::max(0.0, 150.0 - static_cast<double>(row[x]));
        if (std::abs(x - near) > reach) continue;
        sum += dark * x;
        weight += dark;
    }
    return sum / weight;
}

}  // namespace paleproof::test
