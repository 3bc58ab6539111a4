// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>

#include "core/field.h"
#include "core/image.h"
#include "filters/plane.h"

namespace paleproof::filters {

/// The paper's own symbols.
struct XDoG {
    double sigma = 1.0;     ///< standard deviation of the narrow Gaussian, pixels
    double k = 1.6;         ///< the wide Gaussian has k sigma
    double p = 20.0;        ///< strength of the edges against the tone
    double epsilon = 0.70;  ///< share of white from which on the result is white
    double phi = 12.0;      ///< steepness of the fall to black below epsilon
};

inline constexpr std::array xdog_fields{
    Field<XDoG>{"sigma", "pixels", &XDoG::sigma, 0.3, 20.0},
    Field<XDoG>{"k", "times sigma", &XDoG::k, 1.05, 8.0},
    Field<XDoG>{"p", "times", &XDoG::p, 0.0, 1000.0},
    Field<XDoG>{"epsilon", "share of white", &XDoG::epsilon, -10.0, 10.0},
    Field<XDoG>{"phi", "per white", &XDoG::phi, 0.01, 10000.0},
};

/// D = G_sigma * I - G_(k sigma) * I: negative on the dark side of an edge and in thin dark
/// strokes, positive on the light side, 0 where the picture is flat or a ramp. Kernels are cut at
/// 4 standard deviations and sum to 1; outermost pixels repeat. k sigma at most 160 pixels.
[[nodiscard]] Plane difference_of_gaussians(const Plane& picture, double sigma, double k);

/// Extended difference of Gaussians: lines and dark tones of a picture as black on white.
///
/// S = (1 + p) G_sigma * I - p G_(k sigma) * I, T = 1 where S >= epsilon,
/// else 1 + tanh(phi (S - epsilon)); I, S, T with white = 1.
///
/// Input    8-bit gray; any size from 1 x 1.
/// Result   gray, same size and ppi.
/// Keeps    a flat picture lighter than epsilon becomes white.
/// Edges    the outermost pixels repeat.
/// Cost     two separable Gaussians.
/// Errors   Error{range} for a field outside its limits; Error{format} for srgb.
/// Not for  calm lines from photographs: line_art smooths before and after.
/// Source   Winnemoeller, Kyprianidis, Olsen 2012 (docs/sources.md).
[[nodiscard]] Image xdog(const Image& gray, const XDoG& p = {});

}  // namespace paleproof::filters
