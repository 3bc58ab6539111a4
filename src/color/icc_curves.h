// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <memory>
#include <optional>

#include "color/lcms.h"
#include "color/shaper.h"

namespace paleproof::color {

/// A profile and the context that it lives in.
struct OpenProfile {
    lcms::Context context;
    lcms::Profile profile;
};

/// Curves and matrix of a profile that has nothing else; they keep the profile open.
struct MatrixProfile {
    std::array<Shaper::Curve, 3> curves;
    Matrix3 to_xyz_d50{};
};

/// Nothing for a profile with conversion tables, or one that is no RGB profile with curves and
/// matrix.
[[nodiscard]] std::optional<MatrixProfile> matrix_profile(
    const std::shared_ptr<const OpenProfile>& open);

/// Device gray 0..1 -> luminance relative to the paper or screen white, black point compensated.
/// Error{format} when the profile cannot be read in that direction.
[[nodiscard]] Shaper::Curve gray_curve(const std::shared_ptr<const OpenProfile>& open);

}  // namespace paleproof::color
