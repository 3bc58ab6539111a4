// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <string_view>

#include "color/srgb.h"

namespace paleproof::color {

/// The three kinds of color-vision deficiency, by the cone type that is missing or shifted.
enum class Vision { protan, deutan, tritan };

[[nodiscard]] std::string_view name(Vision vision);

/// How a color looks to people with a color-vision deficiency: the model of Machado, Oliveira and
/// Fernandes (IEEE TVCG 15(6):1291-1298, 2009), all eleven published matrices, linear between them.
///
/// The matrices are applied to linear light: they come from cone responses, which are linear (the
/// paper leaves it open, and its own pictures were made on encoded values). Grays do not change.
/// An estimate for comparing colors of a design, no medical test; the tritan matrices were not
/// checked with tritan observers.
class VisionModel {
  public:
    /// severity 0 (usual trichromat) .. 1 (one cone type missing); Error{range} outside.
    explicit VisionModel(Vision vision, double severity = 1.0);

    /// Rounded to the nearest code after clamping to what a screen shows.
    [[nodiscard]] Rgb8 operator()(Rgb8 color) const;

    /// Linear light in, linear light out, clamped to 0..1.
    [[nodiscard]] std::array<double, 3> linear_light(const std::array<double, 3>& rgb) const;

    /// CIELAB (D65) of the simulated color, without the rounding to 8 bits.
    [[nodiscard]] Lab lab(Rgb8 color) const;

    /// Rows R', G', B'; columns R, G, B.
    [[nodiscard]] std::array<std::array<double, 3>, 3> matrix() const { return matrix_; }

  private:
    friend VisionModel vienot(Vision vision);
    VisionModel() = default;
    std::array<std::array<double, 3>, 3> matrix_{};
};

/// The same for a missing cone type by Vienot, Brettel and Mollon (Color Res. Appl. 24(4):243-252,
/// 1999), without the paper's shrinking of the gamut: an independent check of the model above.
/// protan and deutan; Error{unsupported} for tritan, which the paper does not give.
[[nodiscard]] VisionModel vienot(Vision vision);

}  // namespace paleproof::color
