// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

#include "survey/text/strokes.h"

namespace paleproof::survey {

/// Letters over art as light or as dark as they are come with that art in their strokes: their box
/// is too large, and the color is that of the art. Letters are printed in one color, art is not: of
/// strokes in uneven colors, those in one of them that reach from one end of the band to the other
/// as a line of letters does. Nothing where the strokes are even or no color does.
[[nodiscard]] std::optional<Strokes> strokes_of_one_color(const Strip& strip, const Strokes& found);

}  // namespace paleproof::survey
