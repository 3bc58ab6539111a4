// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "survey/text/line_measure.h"

namespace paleproof::survey {

/// Of lines that lie on each other the surest stays; pieces of one line become one, also where a
/// dash or a dot parts its words.
[[nodiscard]] std::vector<MeasuredLine> merged(std::vector<MeasuredLine> lines, const Image& face);

/// Tells lines that stand upside down, by what rises above and hangs below their small letters:
/// Latin text has more of the first. Lines near each other that run the same way decide together.
/// Their sizes are to be taken again.
void turn_upright(std::vector<MeasuredLine>& lines);

/// A word of small letters none of which rises or hangs ("one", "none") looks like capitals. It is
/// told by a line of the same color and weight near it whose small letters are as tall.
void tell_small_letters(std::vector<MeasuredLine>& lines, Ppi ppi);

}  // namespace paleproof::survey
