// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "survey/text/strokes.h"

namespace paleproof::survey {

/// Sets the slope of the line by the feet or by the heads of the letters, whichever lie better on a
/// line. `full` are pieces as tall as letters, from the left.
void level(Strokes& strokes, const std::vector<Piece>& full);

/// Moves the rows of x-height and base line to where the ink itself begins and ends between the
/// columns left and right.
void settle(Strokes& strokes, const std::vector<Piece>& full, int left, int right);

}  // namespace paleproof::survey
