// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>

#include "color/ink_table.h"
#include "core/geometry.h"
#include "core/ink.h"
#include "core/units.h"

namespace paleproof::color {

/// Sum of the inks of `count` pixels from `x` of row `y`.
using InkOfRun = std::function<InkSum(int x, int y, int count)>;

/// Mean coverage and peak over `area`, as Separation::ink describes; `unit` is full ink in the sums
/// of `ink_of_run`. `area` must not be empty.
[[nodiscard]] InkUse coverage(RectPx area, Ppi ppi, std::uint64_t unit, const InkOfRun& ink_of_run);

}  // namespace paleproof::color
