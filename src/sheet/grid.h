// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/geometry.h"

namespace paleproof::sheet {

/// Rectangle in mm from the top left of a sheet; y grows downward.
struct RectMm {
    Mm x, y, width, height;
    [[nodiscard]] constexpr Mm right() const { return x + width; }
    [[nodiscard]] constexpr Mm bottom() const { return y + height; }
    friend bool operator==(const RectMm&, const RectMm&) = default;
};

enum class Layout {
    grid,  ///< fronts on one side of the sheet, backs on the other or on sheets of their own
    fold   ///< fronts left of a fold line, backs right of it: for printers that print one side
};

enum class Orientation { automatic, portrait, landscape };

/// Places of equal size in rows and columns, centered on the sheet.
struct Grid {
    SizeMm sheet;         ///< as it lies: portrait or landscape
    SizeMm place;         ///< trim size of a card as it lies on the sheet
    bool turned = false;  ///< upright cards are turned by a quarter, clockwise
    int columns = 0;      ///< of fronts and backs together for Layout::fold, then even
    int rows = 0;
    Mm gutter{0.0};  ///< between neighbors, also across the fold
    RectMm area;     ///< all places with the gutters between them

    /// How many cards a sheet holds: half the places for Layout::fold.
    [[nodiscard]] int cards(Layout layout) const {
        return layout == Layout::fold ? columns * rows / 2 : columns * rows;
    }
    /// Trim rectangle of a place, counted from the top left.
    [[nodiscard]] RectMm trim(int column, int row) const;
};

/// The grid that holds most cards of size `card` (upright, width <= height) with every trim
/// rectangle at least `margin` from the edges of `paper`, among portrait and landscape sheets with
/// upright and turned cards. When several hold as many: the one whose cards stand upright, then
/// the portrait one. Layout::fold: only even numbers of columns, the fold line in the middle; of
/// several grids the one with fewest columns, as all cards then lie near the fold.
///
/// A length of 0.001 mm too much still counts as fitting. No card fits: Error{range}, subject
/// "margin", saying the largest card that would fit.
[[nodiscard]] Grid best_grid(SizeMm paper, SizeMm card, Mm margin, Mm gutter,
                             Layout layout = Layout::grid,
                             Orientation orientation = Orientation::automatic);

}  // namespace paleproof::sheet
