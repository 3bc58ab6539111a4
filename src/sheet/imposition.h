// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/geometry.h"
#include "sheet/grid.h"
#include "sheet/paper.h"

namespace paleproof::sheet {

/// The measures of a face: its picture covers trim + bleed exactly.
struct FaceShape {
    SizeMm trim;
    Edges<Mm> bleed;  ///< what the picture has past the trim, by edge of the upright face
};

/// One card of the deck; front and back are positions in the list of faces.
struct Card {
    std::size_t front = 0;
    std::optional<std::size_t> back;
    int copies = 1;  ///< 0 = not printed
};

enum class Duplex {
    none,       ///< backs on sheets of their own after all fronts, placed as for long_edge, so that
                ///< the sheets can be glued back to back
    long_edge,  ///< each front page is followed by its back page; the printer turns the paper about
                ///< its long edge
    short_edge
};

enum class Guides {
    none,
    lines,  ///< each cut is one hairline across the sheet, under the art
    ticks   ///< only short marks at the corners of the cards, under the art
};

struct SheetOptions {
    Layout layout = Layout::grid;
    Orientation orientation = Orientation::automatic;
    Duplex duplex = Duplex::none;  ///< Layout::grid only
    bool backs = true;             ///< false: fronts only
    /// Edge of the paper that the printer may not reach. 5 mm covers the usual 1/6 in (4.23 mm) of
    /// office printers and still lets 3 x 3 cards of 2.5 x 3.5 in on Letter, which leave 6.35 mm.
    Mm margin{5.0};
    Mm gutter{0.0};  ///< 0 = neighbors share a cut, bleed shows on the outer edges only
    /// Moves what is printed on back pages to the right and down, for printers that are off.
    Mm back_shift_x{0.0};
    Mm back_shift_y{0.0};
    Guides guides = Guides::lines;
    double guide_weight_pt = 0.25;  ///< 0.05 to 2
    double guide_gray = 0.0;        ///< 0 black to 0.9 light
};

/// One value per corner.
template <class T>
struct Corners {
    T top_left{}, top_right{}, bottom_right{}, bottom_left{};
    friend bool operator==(const Corners&, const Corners&) = default;
};

/// A face on a page.
struct Place {
    std::size_t face = 0;
    std::size_t card = 0;  ///< number of the printed card: the same for its front and its back
    RectMm trim;
    int turn = 0;     ///< quarter turns of the face, clockwise, 0..3
    Edges<Mm> bleed;  ///< drawn past the trim, by edge of the sheet
    /// Up to here the bleed is whole, by edge of the sheet; past it, it steps back a little beside
    /// the cut lines, so that a guide shows where a margin is too narrow for bleed and guide.
    Edges<Mm> whole;
    /// A neighbor begins where the trim ends: what is drawn past it lies under that neighbor.
    Edges<bool> shared;
    /// Whether the bleed goes round the corner; not where it would meet a card beyond.
    Corners<bool> corner;
};

struct Line {
    Mm x0, y0, x1, y1;
    bool dashed = false;
};

/// A line of text; (x, y) is the left end of its base line.
struct Text {
    std::string utf8;
    Mm x, y;
    Mm cap_height;
    bool upward = false;  ///< reads from bottom to top
};

enum class Side { front, back, both };

/// One page of the sheets' PDF. Drawn in this order: guides, marks, texts, places.
struct SheetPage {
    SizeMm size;
    Side side = Side::front;
    int sheet = 1;              ///< number of the paper sheet, from 1
    std::vector<Place> places;  ///< in reading order of the page
    std::vector<Line> guides;   ///< cut lines, under the art
    std::vector<Line> marks;    ///< scale bars, fold line
    std::vector<Text> texts;    ///< footer, labels, caution
};

/// All cards of one size. A lying face counts as the upright one, turned.
struct Group {
    SizeMm card;  ///< upright
    Grid grid;
    int cards = 0;   ///< copies included
    int sheets = 0;  ///< papers with fronts
    int unused = 0;  ///< places for cards left empty on the last of them
};

struct Imposition {
    Paper paper;
    SheetOptions options;
    std::vector<Group> groups;     ///< in the order in which the deck first needs them
    std::vector<SheetPage> pages;  ///< in printing order
    int sheets = 0;                ///< sheets of paper that the printer takes
    int cards = 0;
    int unused = 0;
    bool scale_bars = true;  ///< false when the grid leaves no margin wide enough for them
};

/// Cards on sheets of `paper`, in deck order, copies side by side. `title` goes into the footer.
///
/// 1. Copies are expanded and cards grouped by size; each group gets its best_grid().
/// 2. Fronts fill the places row by row. Backs lie so that they meet their fronts when the paper
///    is turned about the edge that `duplex` names, or folded.
/// 3. Bleed shows where a card has no neighbor, and as far as half a gutter between neighbors.
///    It may reach into the printer's margin, as it is cut away.
/// 4. Guides, scale bars and texts stay within the margin.
///
/// Errors  Error{range}: a card that does not fit (says what would), copies outside 0..10000, more
///         than 100000 cards, an option outside its limits. Error{usage}: a back of another size
///         than its front, fold with duplex. Error{internal}: a face that is not in the list.
/// No card with copies: no pages.
[[nodiscard]] Imposition imposition(const Paper& paper, std::span<const FaceShape> faces,
                                    std::span<const Card> cards, const SheetOptions& options,
                                    const std::string& title);

}  // namespace paleproof::sheet
