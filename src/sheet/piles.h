// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sheet/imposition.h"

namespace paleproof::sheet {

/// One copy of a card, ready to be placed upright in its group's grid.
struct PrintedCard {
    std::size_t front = 0;
    std::optional<std::size_t> back;
    bool light = false;  ///< `back` is drawn as a light pattern of that face's size
    int front_turn = 0;  ///< 1 for a lying face
    int back_turn = 0;
    double ink = 0.0;  ///< total coverage of both sides, 0..8
};

/// All copies of one size.
struct Pile {
    SizeMm size;  ///< upright
    std::vector<PrintedCard> cards;
};

/// "63 x 88 mm"
[[nodiscard]] std::string measure(SizeMm size);

/// Copies expanded, grouped by size, in the order that Order::deck or Order::packed asks for.
/// Errors as for imposition().
[[nodiscard]] std::vector<Pile> piles(std::span<const FaceShape> faces, std::span<const Card> cards,
                                      const SheetOptions& options);

/// Orders a pile so that each run of `per_sheet` cards takes about the same ink: the heaviest card
/// left goes to the sheet with the least ink that has room (longest processing time first, R. L.
/// Graham, 1969), then pairs are swapped while that lightens the heavier of two sheets. Cards of a
/// sheet keep their order.
void spread_ink(Pile& pile, std::size_t per_sheet);

}  // namespace paleproof::sheet
