// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"
#include "survey/text/line_measure.h"

namespace paleproof::survey {

/// Whether the gap between two lines on one base line holds nothing but signs in their ink that
/// part the words of one line (dots, bullets, dashes, colons, bars, pluses), none farther from the
/// next than a word space.
[[nodiscard]] bool signs_between(const Image& face, const MeasuredLine& a, const MeasuredLine& b);

/// Takes into a line's box the letters and signs in its ink that follow at its ends: art that
/// touches them, or a ground of another tone, has kept them from its strokes.
void complete_ends(MeasuredLine& line, const Image& face);

}  // namespace paleproof::survey
