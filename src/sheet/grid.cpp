// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/grid.h"

#include <cmath>
#include <string>
#include <utility>

#include "core/error.h"
#include "core/format.h"

namespace paleproof::sheet {
namespace {

/// Sums of inches and millimeters are not exact: 3 x 2.5 in on a paper of 7.5 in must fit.
constexpr Mm rounding{0.001};

/// How many lengths of `card`, with `gutter` between them, fit into `room`.
int count(Mm room, Mm card, Mm gutter) {
    if (room + rounding < card) return 0;
    return static_cast<int>(std::floor((room + gutter + rounding) / (card + gutter)));
}

SizeMm turned(SizeMm size) { return {size.height, size.width}; }

Grid grid(SizeMm sheet, SizeMm place, Mm margin, Mm gutter, Layout layout) {
    Grid result;
    result.sheet = sheet;
    result.place = place;
    result.gutter = gutter;
    result.columns = count(sheet.width - 2.0 * margin, place.width, gutter);
    result.rows = count(sheet.height - 2.0 * margin, place.height, gutter);
    if (layout == Layout::fold) result.columns -= result.columns % 2;
    const Mm width = result.columns * place.width + (result.columns - 1) * gutter;
    const Mm height = result.rows * place.height + (result.rows - 1) * gutter;
    result.area = {(sheet.width - width) / 2.0, (sheet.height - height) / 2.0, width, height};
    return result;
}

std::string measure(Mm width, Mm height) {
    std::string first = millimeters(width);
    first.erase(first.find(' '));
    return first + " x " + millimeters(height);
}

}  // namespace

RectMm Grid::trim(int column, int row) const {
    return {area.x + column * (place.width + gutter), area.y + row * (place.height + gutter),
            place.width, place.height};
}

Grid best_grid(SizeMm paper, SizeMm card, Mm margin, Mm gutter, Layout layout,
               Orientation orientation) {
    if (card.width > card.height) std::swap(card.width, card.height);
    if (paper.width > paper.height) std::swap(paper.width, paper.height);
    Grid best;
    for (const bool turn : {false, true}) {
        for (const bool landscape : {false, true}) {
            if (orientation == (landscape ? Orientation::portrait : Orientation::landscape)) {
                continue;
            }
            Grid candidate = grid(landscape ? turned(paper) : paper, turn ? turned(card) : card,
                                  margin, gutter, layout);
            candidate.turned = turn;
            // Columns away from the fold register worse, so fewer of them are better.
            const bool nearer_fold = layout == Layout::fold && candidate.columns < best.columns &&
                                     candidate.cards(layout) == best.cards(layout);
            if (candidate.cards(layout) > best.cards(layout) || nearer_fold) best = candidate;
        }
    }
    if (best.cards(layout) > 0) return best;

    const Mm width = paper.width - 2.0 * margin;
    const Mm height = paper.height - 2.0 * margin;
    const std::string sheet = "a paper of " + measure(paper.width, paper.height) +
                              " with margins of " + millimeters(margin);
    if (width.value <= 0.0 || height.value <= 0.0) {
        throw Error(ErrorKind::range, "margin",
                    "expected a margin that leaves room for cards, got " + sheet +
                        "; choose a smaller margin or a larger paper");
    }
    const bool fold = layout == Layout::fold;
    throw Error(ErrorKind::range, "margin",
                std::string(fold ? "fold: " : "") + "expected cards of at most " +
                    (fold ? measure((width - gutter) / 2.0, height) + " or " +
                                measure(width, (height - gutter) / 2.0)
                          : measure(width, height)) +
                    " for " + sheet + ", got " + measure(card.width, card.height) +
                    "; choose a larger paper or a smaller margin");
}

}  // namespace paleproof::sheet
