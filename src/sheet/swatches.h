// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "core/geometry.h"
#include "sheet/imposition.h"

namespace paleproof::sheet {

/// Content stream that draws the sample of a pattern, clipped to its box, with a thin frame.
[[nodiscard]] std::string swatch_content(const Swatch& swatch, SizeMm page);

/// Lines of the light pattern that stands in for a back: a lattice of thin gray lines about the
/// middle of `trim`, alike upside down, as far as `bleed` past it. About 2 % of ink.
[[nodiscard]] std::string light_content(const RectMm& trim, const Edges<Mm>& bleed, SizeMm page);

}  // namespace paleproof::sheet
