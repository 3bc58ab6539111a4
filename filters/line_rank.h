// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>

#include "core/geometry.h"
#include "core/units.h"
#include "filters/plane.h"
#include "filters/stroke_flow.h"

namespace paleproof::filters {

/// What line_rank judges, all of one size.
struct DrawnLines {
    const Plane& tone;      ///< of the face, 0..255
    const Plane& contrast;  ///< of each line, in codes, on its pixels; 0 elsewhere
    Ppi ppi;
};

/// How important each line is for telling what is shown; 0 where none is.
///
/// 1. A line counts by its own contrast and by that of what lies 1/3 mm to both sides of it, so
/// that
///    outlines come before texture; beyond 40 codes more contrast tells little more.
/// 2. It is divided by the root of the mean over some millimeters: crowds yield to single lines.
/// 3. In the boxes `first` it counts eight times as much: symbols that the game needs.
/// Source   own construction, docs/filters.md#line_rank.
[[nodiscard]] Plane line_rank(const DrawnLines& lines, std::span<const RectPx> first);

/// Takes the rank from echoes: past the trim `area` the art was carried on by reflecting its
/// detail, and frames and letters beside the edge come back. There, lines stay only if they come
/// across the trim, and not along it.
void remove_echoes(Plane& rank, const StrokeFlow& flow, RectPx area);

}  // namespace paleproof::filters
