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

/// One motif follows itself at an even pitch from end to end, at least three times: a border of
/// keys or waves, a chain, a row of signs, also where they hang together. A pitch of more than a
/// few letters must come more often, as words are repeated too.
[[nodiscard]] bool repeats_along(const Strokes& strokes, std::span<const Piece> pieces);

/// One connected piece most columns of which are a thin line only: a pin, a track with its pad.
[[nodiscard]] bool mostly_line(const Strokes& strokes, const Piece& piece);

/// What is in the box stands again beside it and above or below it, at least twice in each
/// direction: the motif of a card's back, not words. `plane` is the face's luminance and `scale`
/// its pixels for each pixel of the face.
[[nodiscard]] bool in_lattice(const Plane8& plane, double scale, RectPx box);

/// One broad picture stands in the box two to four times at an even pitch: icons side by side, also
/// where their details make strokes of no common shape. `scale` as for in_lattice.
[[nodiscard]] bool row_of_icons(const Plane8& plane, double scale, RectPx box);

/// True when a line across the whole face stands on the face at least three more times, above or
/// below itself, pixel by pixel: the rows of a pattern. `scale` as for in_lattice.
[[nodiscard]] bool stands_again(const Plane8& plane, double scale, RectPx box);

}  // namespace paleproof::survey
