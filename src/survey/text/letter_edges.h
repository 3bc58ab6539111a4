// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <span>

#include "survey/text/strokes.h"

namespace paleproof::survey {

/// Coverage that compression and grain leave on the ground, beside the letters and two pixels off
/// at least: how many pixels have how much, in 255ths.
struct Noise {
    std::array<int, 256> counts{};
    int total = 0;

    /// What the strongest of `width` pixels has in the mean, 95 % of the pixels at least.
    [[nodiscard]] double strongest_of(int width) const;
};

[[nodiscard]] Noise noise_of(const Strokes& strokes, std::span<const Piece> pieces);

/// Top and bottom edge of one piece, to a fraction of a pixel, with the slope of the line taken
/// out.
struct Extent {
    double top, bottom;
};

/// The rows in which the strongest pixel leaves the full ink, by how much ink they still have:
/// exact for edges that were averaged over pixels, and for even blur.
[[nodiscard]] Extent edges_of(const Strokes& strokes, const Piece& piece, double noise);

}  // namespace paleproof::survey
