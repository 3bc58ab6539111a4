// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "core/geometry.h"
#include "core/units.h"

namespace paleproof {

/// A face on a page of a sheet, for the report's drawing of it.
struct SheetPlace {
    std::string face;  ///< its name
    Mm x, y;           ///< its trim's top left on the page, from that of the page
    SizeMm trim;       ///< as it lies there
    int turn = 0;      ///< quarter turns, clockwise, 0..3
};

/// One page of the sheets, as the report draws it.
struct SheetDrawing {
    SizeMm size;
    std::string side;  ///< "front", "back"; "" for both (a sheet to fold)
    int sheet = 1;     ///< number of the paper sheet, from 1
    std::vector<SheetPlace> places;
};

struct SheetResult {
    std::string paper;  ///< "Letter"
    std::string file;   ///< "sheets-letter.pdf"
    int pages = 0;
    int cards = 0;
    int unused = 0;  ///< places left empty on the last sheets
    int columns = 0;
    int rows = 0;
    int papers = 0;         ///< sheets of paper that the printer takes
    int papers_shared = 0;  ///< the same with shared cuts, without gutter
    /// The same with a gutter in which all cards show their bleed on every side; 0 = does not fit.
    int papers_bleed = 0;
    std::vector<SheetDrawing> drawn{};  ///< in printing order
};

}  // namespace paleproof
