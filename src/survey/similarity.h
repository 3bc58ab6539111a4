// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"

namespace paleproof::survey {

/// Mean structural similarity of two gray pictures of one size, -1..1.
///
/// Gaussian window of 11 px, sigma 1.5, K1 = 0.01, K2 = 0.03, L = 255, population variances; the
/// outer 5 px are left out, as the window does not fit there. Pictures under 11 px give 1 when
/// equal, else 0.
/// Source: Wang, Bovik, Sheikh, Simoncelli 2004 (docs/sources.md).
[[nodiscard]] double structural_similarity(const Image& a, const Image& b);

/// The same of the pictures' edges: how far the proof shows the structure of the source, whatever
/// their tones are. Both are shrunk to about 100 ppi; the edges are the magnitude of the Sobel
/// gradient, scaled so that the 98th percentile of each picture is 255. Information, not a verdict.
[[nodiscard]] double edge_similarity(const Image& source, const Image& proof);

}  // namespace paleproof::survey
