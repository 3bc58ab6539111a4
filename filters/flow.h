// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "filters/edge_strip.h"

namespace paleproof::filters {

/// Where the lines that cross an edge go, once they have left the picture.
struct Flow {
    int length = 0;
    int rows = 0;
    /// Steps along the edge for one step outward, at each place outside; row 0 lies next to the
    /// edge. 0 where nothing has a direction.
    std::vector<float> slope;
    /// 0..1: how much of what is there belongs to such lines.
    std::vector<float> coherence;
};

/// Reads the directions of lines from the strip inside an edge and carries them straight outward.
///
/// 1. Structure tensor of the lightness (Bigun and Granlund 1987), weighted toward the edge and
///    gathered along the direction found in a first round. Its smaller eigenvector is the slope,
///    the difference of its eigenvalues the weight.
/// 2. Each place of the edge sends its weight outward along its own slope. Where several meet, the
///    stronger wins; where none comes, the nearest.
///
/// Slopes over 5 (lines nearly parallel to the edge) count for nothing.
///
/// Input    a strip of at least 1 x 1; `stairs`: it has two values only, so that slanted lines are
///          stairs: directions are then read from a softer picture and farther inward.
/// Result   `rows` rows of the strip's length.
/// Errors   none.
/// Source   tensor from the paper, see docs/sources.md; the carrying is our own construction.
[[nodiscard]] Flow flow(const EdgeStrip& inside, int rows, bool stairs = false);
/// The same into a Flow whose memory is used again.
void flow(const EdgeStrip& inside, int rows, bool stairs, Flow& result);

}  // namespace paleproof::filters
