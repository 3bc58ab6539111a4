// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>

#include "core/deck.h"
#include "core/geometry.h"
#include "core/text_line.h"
#include "survey/border.h"

namespace paleproof::survey {

/// What one wandering cut does to a face.
struct CutEffect {
    Mm right, down;              ///< how far the cut lies off, positive to the right and down
    Mm white;                    ///< widest strip of bare paper along an edge, 0 = none
    int lost_lines = 0;          ///< lines of text that the cut goes through or past
    double lopsided = 1.0;       ///< wider over narrower of two opposite borders; 1 = even or none
    bool lopsided_level = true;  ///< the uneven borders are left and right, else top and bottom
};

/// The cut of a face, wandering.
struct CutSurvey {
    CutEffect even;   ///< the cut where it should be
    CutEffect worst;  ///< of 16 directions at the full distance
};

/// What a face shows when its cut lies off by up to `wander`.
///
/// The cut keeps its size and is moved as a whole, in 16 directions, by the full distance: less far
/// shows less of everything. White shows where the cut passes the art that the file has and the
/// art's edge is not paper white itself. Borders are compared when both opposite edges have one.
/// The worst is the one with the most lost text, then the widest white, then the least even border.
///
/// Errors  none. Source  plane geometry.
[[nodiscard]] CutSurvey cut_survey(const TrimPlacement& place, const Edges<Border>& borders,
                                   std::span<const TextLine> text, Mm wander);

/// True when `a` does more harm: more lines lost, then wider white, then less even borders.
[[nodiscard]] bool worse(const CutEffect& a, const CutEffect& b);

/// The face as such a cut leaves it: `area` of the picture, paper where there is none.
[[nodiscard]] Image cut_out(const Image& image, RectPx area);

/// The trim of `place` moved by an effect's offset, in pixels of the picture.
[[nodiscard]] RectPx moved_trim(const TrimPlacement& place, const CutEffect& effect);

}  // namespace paleproof::survey
