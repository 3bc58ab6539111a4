// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "core/geometry.h"
#include "filters/plane.h"
#include "filters/stroke_flow.h"

namespace paleproof::filters {

struct LineChoice {
    double shortest = 0.0;     ///< pixels: shorter lines are left out
    double full_length = 0.0;  ///< pixels: from here on length makes a line no more important
    double apart = 0.0;  ///< pixels: of lines that run side by side nearer than this one is enough
    RectPx area{};       ///< where pixels are counted; empty = everywhere
};

/// The lines of a drawing, the most important first.
struct LineOrder {
    struct Line {
        std::size_t begin = 0, end = 0;  ///< of its pixels in `pixels`
        int counted = 0;                 ///< how many of them lie in the area
    };
    SizePx size;
    std::vector<std::int32_t> pixels;  ///< y * width + x
    std::vector<Line> lines;
    std::vector<std::int32_t> loose;  ///< pixels of what is too short for a line
};

/// Puts the lines of a drawing in the order in which a pen would draw them.
///
/// 1. Neighboring pixels of one direction are one line: a line ends where it turns sharply or
///    meets another.
/// 2. A line is as important as the mean rank of its pixels, times a share that grows with the
///    root of its length up to `full_length`.
/// 3. The most important comes first; what runs beside it within `apart`, the same way, then counts
///    15 %, and from 70 % of its length on nothing: two edges of one stripe, one of a bundle of
///    hairs. Beside short lines the reach is smaller, down to half of `apart`.
/// 4. A blot counts less, as its ink makes little length.
///
/// Input    the rank of each place, 0 where no line is, and where lines run; of one size.
/// Keeps    a line comes whole or not at all.
/// Cost     in proportion to the pixels of the lines.
/// Errors   none.
/// Source   own construction, docs/filters.md#line_choice.
[[nodiscard]] LineOrder line_order(const Plane& rank, const StrokeFlow& flow, const LineChoice& p);

/// 255 on the first lines of an order, as many as take no more than `most` pixels of the area; a
/// line that does not fit is passed over. 0 elsewhere.
[[nodiscard]] std::vector<std::uint8_t> line_choice(const LineOrder& order, double most);

/// Takes out of the chosen lines those that stand by themselves beside a single number or letter
/// and about as tall as it: a piece of the art in a badge would read as a figure. `marks` are
/// their boxes, in pixels of the drawing; lines around them stay, as the ring of the badge.
void leave_out_strokes(std::span<std::uint8_t> chosen, SizePx size, std::span<const RectPx> marks);

}  // namespace paleproof::filters
