// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/page_layout.h"

#include <algorithm>
#include <set>
#include <utility>

namespace paleproof::sheet {
namespace {

/// Where the margin has no room for bleed and guide, the bleed is whole up to here.
constexpr Mm least_whole{0.5};
/// Length past the bleed at which a guide is easy to see.
constexpr Mm visible_guide{1.5};
/// A face slips this far under the neighbor that is drawn after it: two soft edges side by side
/// would let the paper shine through on a screen.
constexpr Mm tuck{0.3};

class Occupancy {
  public:
    Occupancy(std::span<const Slot> slots, const Grid& grid) : grid_(grid) {
        for (const Slot& slot : slots) taken_.insert({slot.column, slot.row});
    }
    [[nodiscard]] bool has(int column, int row) const { return taken_.contains({column, row}); }
    [[nodiscard]] bool on_grid(int column, int row) const {
        return column >= 0 && column < grid_.columns && row >= 0 && row < grid_.rows;
    }

  private:
    const Grid& grid_;
    std::set<std::pair<int, int>> taken_;
};

struct EdgeView {
    Mm bleed, whole;
    bool shared = false;
};

/// What shows past one edge of a place. `available`: bleed of the face there; `after`: the
/// neighbor is drawn after this place.
EdgeView edge_view(const Occupancy& occupancy, int column, int row, bool after, Mm available,
                   Mm gutter, Mm reach, bool lane, Mm to_paper) {
    if (occupancy.has(column, row)) {
        if (gutter.value <= 0.0) {
            const Mm hidden = after ? std::min(available, tuck) : Mm{0.0};
            return {hidden, hidden, true};
        }
        const Mm half = gutter / 2.0;
        const Mm bleed = std::min(available, half);
        return {bleed, std::min(bleed, std::max(least_whole, half - visible_guide)), false};
    }
    if (occupancy.on_grid(column, row)) return {available, available, false};
    const Mm bleed = std::min(available, lane ? reach : to_paper);
    return {bleed, std::min(bleed, std::max(least_whole, reach - visible_guide)), false};
}

}  // namespace

Slot behind(const Slot& front, const Grid& grid, Flip flip, std::size_t back_face, int back_turn) {
    Slot back = front;
    back.face = back_face;
    if (flip == Flip::sideways) {
        back.column = grid.columns - 1 - front.column;
        back.turn = (4 - back_turn) % 4;
    } else {
        back.row = grid.rows - 1 - front.row;
        back.turn = (6 - back_turn) % 4;
    }
    return back;
}

Edges<Mm> turned_edges(const Edges<Mm>& edges, int turn) {
    Edges<Mm> result = edges;
    for (int i = 0; i < turn; ++i) {
        result = {result.left, result.top, result.right, result.bottom};
    }
    return result;
}

std::vector<Place> places(std::vector<Slot> slots, const Grid& grid,
                          std::span<const FaceShape> faces, const MarginPlan& plan) {
    std::sort(slots.begin(), slots.end(), [](const Slot& a, const Slot& b) {
        return std::pair(a.row, a.column) < std::pair(b.row, b.column);
    });
    const Occupancy occupancy(slots, grid);
    const Edges<Mm> to_paper{grid.area.y, grid.sheet.width - grid.area.right(),
                             grid.sheet.height - grid.area.bottom(), grid.area.x};
    const Mm half_gutter = grid.gutter / 2.0;
    std::vector<Place> result;
    result.reserve(slots.size());
    for (const Slot& slot : slots) {
        const Edges<Mm> bleed = turned_edges(faces[slot.face].bleed, slot.turn);
        const int c = slot.column;
        const int r = slot.row;
        const EdgeView top = edge_view(occupancy, c, r - 1, false, bleed.top, grid.gutter,
                                       plan.reach.top, plan.taken.top, to_paper.top);
        const EdgeView right = edge_view(occupancy, c + 1, r, true, bleed.right, grid.gutter,
                                         plan.reach.right, plan.taken.right, to_paper.right);
        const EdgeView bottom = edge_view(occupancy, c, r + 1, true, bleed.bottom, grid.gutter,
                                          plan.reach.bottom, plan.taken.bottom, to_paper.bottom);
        const EdgeView left = edge_view(occupancy, c - 1, r, false, bleed.left, grid.gutter,
                                        plan.reach.left, plan.taken.left, to_paper.left);
        Place place;
        place.face = slot.face;
        place.card = slot.card;
        place.light = slot.light;
        place.trim = grid.trim(c, r);
        place.turn = slot.turn;
        place.bleed = {top.bleed, right.bleed, bottom.bleed, left.bleed};
        place.whole = {top.whole, right.whole, bottom.whole, left.whole};
        place.shared = {top.shared, right.shared, bottom.shared, left.shared};
        const auto corner = [&](const EdgeView& a, const EdgeView& b, int column, int row) {
            const bool apart = a.bleed <= half_gutter && b.bleed <= half_gutter;
            return !a.shared && !b.shared && (apart || !occupancy.has(column, row));
        };
        place.corner = {corner(top, left, c - 1, r - 1), corner(top, right, c + 1, r - 1),
                        corner(bottom, right, c + 1, r + 1), corner(bottom, left, c - 1, r + 1)};
        result.push_back(place);
    }
    return result;
}

}  // namespace paleproof::sheet
