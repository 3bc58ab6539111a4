// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "filters/plane.h"

namespace paleproof::filters {

/// Where the lines of a picture run: a unit vector along them for each 2 x 2 pixels, and how surely
/// there is one direction (0..1).
struct StrokeFlow {
    struct Along {
        float x = 0.0F, y = 0.0F, sure = 0.0F;
    };
    int width = 0;  ///< cells
    int height = 0;
    std::vector<Along> cells;

    /// Of the pixel (x, y), which must lie in the picture.
    [[nodiscard]] const Along& at(int x, int y) const {
        return cells[static_cast<std::size_t>(y / 2) * static_cast<std::size_t>(width) +
                     static_cast<std::size_t>(x / 2)];
    }
};

/// Structure tensor of the picture, gathered with a Gaussian of `reach` pixels; the direction is
/// that of its smaller eigenvector, the sureness the difference of its eigenvalues over their sum.
/// Flat places have the direction of the nearest lines as far as the Gaussian reaches, sureness 0
/// beyond. Source: Bigun and Granlund 1987 (docs/sources.md).
[[nodiscard]] StrokeFlow stroke_flow(const Plane& picture, double reach);

/// Mean of `values` along the flow, weights a Gaussian of `deviation` pixels cut at 2 of them; a
/// path ends where the flow turns by more than 60 degrees in one step, where it is not sure, and
/// at the picture's edge. Computed only where a value is below `active`; elsewhere the value stays.
/// Source: the flow-guided form of the difference of Gaussians, Kang, Lee, Chui 2007.
[[nodiscard]] Plane along_flow(const Plane& values, const StrokeFlow& flow, double deviation,
                               float active);

}  // namespace paleproof::filters
