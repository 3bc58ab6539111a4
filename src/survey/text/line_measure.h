// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>

#include "core/text_line.h"
#include "survey/text/bands.h"
#include "survey/text/heights.h"
#include "survey/text/strokes.h"
#include "survey/text/text_finder.h"

namespace paleproof::survey {

/// A measured line with what is needed to compare and join lines.
struct MeasuredLine {
    TextLine line;
    double left = 0.0, right = 0.0;  ///< along the line, in face pixels, in its upright direction
    double base = 0.0;               ///< across it, in face pixels
    double base_x = 0.0, base_y = 0.0;  ///< the middle of its base line
    double weight = 0.0;                ///< of the finding, for keeping the strongest
    int letters = 0;                    ///< about how many
    int rising = 0, hanging = 0;        ///< of these, above and below the small letters
    Band band;                          ///< where it was looked for
    bool upside_down = false;           ///< measured so; turned upright since
    bool shadowed = false;              ///< letters were told from their shadow: contrast is theirs
    bool turned_over = false;           ///< and are lighter than the ground where it is darker
};

/// How far down, across the direction of `line`, its base line lies at a place along it, both in
/// the frame of its quarter turns (own_ink.h).
[[nodiscard]] double base_at(const MeasuredLine& line, double along);

/// Heights in pixels of the face, and what follows from them: millimeters and point sizes. `x` is
/// not read where only capitals show.
void set_sizes(TextLine& line, double x, double cap, bool capitals_only, Ppi ppi);

/// Sizes, colors and contrast of a run of pieces.
[[nodiscard]] MeasuredLine measured(const Strip& strip, const Strokes& strokes,
                                    std::span<const Piece> pieces, const Band& band, Ppi ppi,
                                    const PaperLuminance& paper);

}  // namespace paleproof::survey
