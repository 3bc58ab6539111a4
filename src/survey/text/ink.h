// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "survey/text/strokes.h"

namespace paleproof::survey {

/// Fills tone, ground, ink and depth of strokes whose polarity and rows are set. False when there
/// is no ink to speak of.
[[nodiscard]] bool separated(const Strip& strip, Strokes& strokes);

/// 255 where a pixel lies on the ink's side of the middle between the ink and its local ground.
[[nodiscard]] Plane8 ink_mask(const Strokes& strokes);

/// Takes the upright rules of frames out of the ink: a letter that touches one is a part of it, and
/// lost with it. True when there were any.
[[nodiscard]] bool cut_rules(Plane8& mask, double x_height);

}  // namespace paleproof::survey
