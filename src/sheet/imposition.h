// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "core/geometry.h"
#include "core/legend.h"
#include "sheet/grid.h"
#include "sheet/paper.h"

namespace paleproof::sheet {

/// The measures of a face: its picture covers trim + bleed exactly.
struct FaceShape {
    SizeMm trim;
    Edges<Mm> bleed;   ///< what the picture has past the trim, by edge of the upright face
    double ink = 0.0;  ///< mean total coverage, 0..4: for Order::even_ink
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

/// All guides lie under the art, so that they show beside it alone.
enum class Guides {
    none,
    lines,  ///< each cut is a hairline that shows in margins and gutters
    ticks,  ///< only short marks at the corners of the cards
    full    ///< each cut is one line across the sheet, through empty places and past texts
};

enum class Backs {
    print,  ///< the faces that the deck names
    light,  ///< a light pattern in their place, the same for all cards
    none    ///< fronts only
};

enum class Order {
    deck,     ///< as the deck lists the cards, copies side by side
    packed,   ///< equal cards sit together, in the order in which the deck first lists them
    even_ink  ///< heavy faces are spread so that all sheets take about the same ink
};

struct SheetOptions {
    Layout layout = Layout::grid;
    Orientation orientation = Orientation::automatic;
    Duplex duplex = Duplex::none;  ///< Layout::grid only
    Backs backs = Backs::print;
    Order order = Order::deck;
    /// Edge of the paper that the printer may not reach. 5 mm covers the usual 1/6 in (4.23 mm) of
    /// office printers and still lets 3 x 3 cards of 2.5 x 3.5 in on Letter, which leave 6.35 mm.
    Mm margin{5.0};
    Mm gutter{0.0};  ///< 0 = neighbors share a cut, bleed shows on the outer edges only
    /// The gutter is as wide as bleed on every side of every card takes; `gutter` does not count.
    bool gutter_for_bleed = false;
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
    int turn = 0;        ///< quarter turns of the face, clockwise, 0..3
    bool light = false;  ///< a light pattern is drawn in place of the face
    Edges<Mm> bleed;     ///< drawn past the trim, by edge of the sheet
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
    bool strong = false;  ///< thicker, whatever the options say of guides
};

/// A line of text; (x, y) is the left end of its base line.
struct Text {
    std::string utf8;
    Mm x, y;
    Mm cap_height;
    bool upward = false;  ///< reads from bottom to top
};

/// A sample of a pattern, for the legend.
struct Swatch {
    RectMm box;
    PatternSample sample;
};

enum class Side { front, back, both };

/// One page of the sheets' PDF. Drawn in this order: guides, marks, texts, legend, places.
struct SheetPage {
    SizeMm size;
    Side side = Side::front;
    int sheet = 1;                 ///< number of the paper sheet, from 1
    std::vector<Place> places;     ///< in reading order of the page
    std::vector<Line> guides;      ///< cut lines, under the art
    std::vector<Line> marks;       ///< scale bars, fold line
    std::vector<Text> texts;       ///< footer, labels, caution
    std::vector<Swatch> swatches;  ///< legend
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
    bool legend = true;      ///< the same for the legend; also true when there is none
    /// Sheets of paper with shared cuts, and with a gutter for bleed on every side (0 = no card
    /// fits then): what a gutter costs.
    int sheets_shared = 0;
    int sheets_bleed = 0;
    /// Mean total coverage over the paper's fronts and backs, by sheet with fronts: 0..8.
    std::vector<double> sheet_ink;
};

/// What is written on sheets.
struct SheetTexts {
    std::string title;                ///< of the deck
    std::string edition;              ///< which edition: "gray 3f9a2c"; "" = not said
    std::vector<LegendEntry> legend;  ///< on the first sheet

    SheetTexts(const char* deck) : title(deck) {}
    SheetTexts(std::string deck, std::string which = {}, std::vector<LegendEntry> entries = {})
        : title(std::move(deck)), edition(std::move(which)), legend(std::move(entries)) {}
};

/// Cards on sheets of `paper`.
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
                                    const SheetTexts& texts);

}  // namespace paleproof::sheet
