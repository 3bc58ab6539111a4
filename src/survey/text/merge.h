// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "survey/text/line_measure.h"

namespace paleproof::survey {

/// Of lines that lie on each other the surest stays; pieces of one line become one.
[[nodiscard]] std::vector<MeasuredLine> merged(std::vector<MeasuredLine> lines);

}  // namespace paleproof::survey
