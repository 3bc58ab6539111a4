// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>

#include "core/geometry.h"
#include "survey/text/strokes.h"

namespace paleproof::survey {

/// The letters are copies of one shape, set apart like icons: three or more of them, or two with a
/// wide gap. Narrow shapes are left alone: III and 111 are words.
[[nodiscard]] bool same_shapes(const Strokes& strokes, std::span<const Piece> pieces);

/// What is in the box stands again beside it and above or below it, at least twice in each
/// direction: the motif of a card's back, not words. `plane` is the face's luminance and `scale`
/// its pixels for each pixel of the face.
[[nodiscard]] bool in_lattice(const Plane8& plane, double scale, RectPx box);

/// True when a line across the whole face stands on the face at least three more times, above or
/// below itself, pixel by pixel: the rows of a pattern. `scale` as for in_lattice.
[[nodiscard]] bool stands_again(const Plane8& plane, double scale, RectPx box);

}  // namespace paleproof::survey
