// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <vector>

#include "sheet/imposition.h"
#include "sheet/margins.h"

namespace paleproof::sheet {

/// A face in a place of the grid, before lengths are worked out.
struct Slot {
    int column = 0, row = 0;
    std::size_t face = 0;
    int turn = 0;  ///< quarter turns, clockwise
    std::size_t card = 0;
    bool light = false;  ///< see Place::light
};

/// How a page is turned over to its back.
enum class Flip {
    sideways,  ///< about a vertical line: columns change order
    over       ///< about a horizontal line: rows change order, content stands on its head
};

/// The slot on the back page that meets `front` when the sheet is turned.
[[nodiscard]] Slot behind(const Slot& front, const Grid& grid, Flip flip, std::size_t back_face,
                          int back_turn);

/// The edges of a face, named by the edges of the sheet on which it lies after `turn` quarter
/// turns.
[[nodiscard]] Edges<Mm> turned_edges(const Edges<Mm>& edges, int turn);

/// Slots -> places, in reading order of the page: trim rectangles, and how much bleed shows.
[[nodiscard]] std::vector<Place> places(std::vector<Slot> slots, const Grid& grid,
                                        std::span<const FaceShape> faces, const MarginPlan& plan);

/// Guides for the cuts that these places need; see enum Guides. With Layout::fold also the fold.
[[nodiscard]] std::vector<Line> guide_lines(std::span<const Slot> slots, const Grid& grid,
                                            const MarginPlan& plan, const SheetOptions& options);

}  // namespace paleproof::sheet
