// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/imposition.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/error.h"
#include "core/format.h"
#include "sheet/margins.h"
#include "sheet/page_layout.h"

namespace paleproof::sheet {
namespace {

constexpr int most_copies = 10000;
constexpr int most_cards = 100000;
/// Sizes nearer than this are one size: pixels rarely give a length exactly.
constexpr Mm same_size{0.05};

constexpr const char* caution = "Cut away from your hand, on a mat, against a steel rule.";

/// One copy of a card, ready to be placed upright in its group's grid.
struct PrintedCard {
    std::size_t front = 0;
    std::optional<std::size_t> back;
    int front_turn = 0;  ///< 1 for a lying face
    int back_turn = 0;
};

struct Pile {
    SizeMm size;  ///< upright
    std::vector<PrintedCard> cards;
};

SizeMm upright(SizeMm size) {
    if (size.width > size.height) std::swap(size.width, size.height);
    return size;
}

bool same(SizeMm a, SizeMm b) {
    return std::abs((a.width - b.width).value) < same_size.value &&
           std::abs((a.height - b.height).value) < same_size.value;
}

std::string measure(SizeMm size) {
    std::string width = millimeters(size.width);
    width.erase(width.find(' '));
    return width + " x " + millimeters(size.height);
}

void check(const SheetOptions& options) {
    const auto refuse = [](const char* subject, const std::string& expected, double found) {
        throw Error(ErrorKind::range, subject, "expected " + expected + ", got " + fixed(found, 2));
    };
    const auto within = [](double value, double low, double high) {
        return value >= low && value <= high;
    };
    if (!within(options.margin.value, 0.0, 200.0)) {
        refuse("margin", "0 mm to 200 mm", options.margin.value);
    }
    if (!within(options.gutter.value, 0.0, 200.0)) {
        refuse("gutter", "0 mm to 200 mm", options.gutter.value);
    }
    for (const Mm shift : {options.back_shift_x, options.back_shift_y}) {
        if (!within(shift.value, -50.0, 50.0)) {
            refuse("back_shift", "-50 mm to 50 mm", shift.value);
        }
    }
    if (!within(options.guide_weight_pt, 0.05, 2.0)) {
        refuse("guide_weight", "0.05 pt to 2 pt", options.guide_weight_pt);
    }
    if (!within(options.guide_gray, 0.0, 0.9)) {
        refuse("guide_gray", "0 to 0.9", options.guide_gray);
    }
    if (options.layout == Layout::fold && options.duplex != Duplex::none) {
        throw Error(ErrorKind::usage, "duplex",
                    "expected none with the fold layout, which prints one side of the paper only; "
                    "leave out one of the two");
    }
}

std::vector<Pile> piles(std::span<const FaceShape> faces, std::span<const Card> cards, bool backs) {
    std::vector<Pile> result;
    long total = 0;
    for (const Card& card : cards) {
        if (card.copies < 0 || card.copies > most_copies) {
            throw Error(ErrorKind::range, "copies",
                        "expected 0 to " + std::to_string(most_copies) + ", got " +
                            std::to_string(card.copies));
        }
        total += card.copies;
        if (total > most_cards) {
            throw Error(ErrorKind::range, "copies",
                        "expected at most " + std::to_string(most_cards) +
                            " cards in one set of sheets; print the deck in parts");
        }
        if (card.front >= faces.size() || (card.back && *card.back >= faces.size())) {
            throw Error(ErrorKind::internal, "sheets",
                        "expected cards that name faces of the list, got one that does not");
        }
        if (card.copies == 0) continue;
        const SizeMm trim = faces[card.front].trim;
        PrintedCard printed{card.front, std::nullopt, trim.width > trim.height ? 1 : 0, 0};
        if (backs && card.back) {
            const SizeMm back = faces[*card.back].trim;
            if (!same(upright(trim), upright(back))) {
                throw Error(ErrorKind::usage, "back",
                            "expected front and back of one size, got a front of " + measure(trim) +
                                " with a back of " + measure(back));
            }
            printed.back = card.back;
            printed.back_turn = back.width > back.height ? 1 : 0;
        }
        auto pile = std::find_if(result.begin(), result.end(), [&](const Pile& other) {
            return same(other.size, upright(trim));
        });
        if (pile == result.end()) {
            result.push_back({upright(trim), {}});
            pile = std::prev(result.end());
        }
        pile->cards.insert(pile->cards.end(), static_cast<std::size_t>(card.copies), printed);
    }
    return result;
}

std::string footer(const std::string& title, int sheet, int sheets, Side side, bool name_side,
                   const std::string& paper) {
    const char* separator = " \u00b7 ";
    std::string text = title.empty() ? std::string() : title + separator;
    text += "sheet " + std::to_string(sheet) + " of " + std::to_string(sheets);
    if (name_side && side != Side::both) {
        text += std::string(separator) + (side == Side::front ? "fronts" : "backs");
    }
    return text + separator + paper + separator + "print at 100 %, no scaling";
}

/// Lays one pile on sheets.
class PileLayout {
  public:
    PileLayout(const Pile& pile, const Paper& paper, std::span<const FaceShape> faces,
               const SheetOptions& options, const std::string& longest_footer)
        : pile_(pile), faces_(faces), options_(options) {
        grid_ = best_grid(paper.size, pile.size, options.margin, options.gutter, options.layout,
                          options.orientation);
        flip_ = grid_.sheet.width > grid_.sheet.height ? Flip::over : Flip::sideways;
        if (options.duplex == Duplex::short_edge) {
            flip_ = flip_ == Flip::over ? Flip::sideways : Flip::over;
        }
        if (options.layout == Layout::fold) flip_ = Flip::sideways;
        per_sheet_ = static_cast<std::size_t>(grid_.cards(options.layout));
        for (std::size_t i = 0; i < sheets(); ++i) {
            front_slots_.push_back(fronts(i));
            back_slots_.push_back(backs(front_slots_.back()));
        }
        plan_ = margin_plan(grid_, options.margin, widest_bleed(),
                            {longest_footer, caution, order_text()});
    }

    [[nodiscard]] const Grid& grid() const { return grid_; }
    [[nodiscard]] std::size_t sheets() const {
        return (pile_.cards.size() + per_sheet_ - 1) / per_sheet_;
    }
    [[nodiscard]] int unused() const {
        return static_cast<int>(sheets() * per_sheet_ - pile_.cards.size());
    }
    [[nodiscard]] bool has_backs() const {
        return std::any_of(pile_.cards.begin(), pile_.cards.end(),
                           [](const PrintedCard& card) { return card.back.has_value(); });
    }
    [[nodiscard]] bool has_backs(std::size_t sheet) const { return !back_slots_[sheet].empty(); }
    [[nodiscard]] bool has_scale_bars() const { return plan_.bar_100_mm && plan_.bar_3_in; }

    /// Fronts; with Layout::fold also the backs.
    [[nodiscard]] SheetPage front_page(std::size_t sheet) const {
        std::vector<Slot> slots = front_slots_[sheet];
        SheetPage page;
        if (options_.layout == Layout::fold) {
            page.side = Side::both;
            slots.insert(slots.end(), back_slots_[sheet].begin(), back_slots_[sheet].end());
        }
        fill(page, slots);
        add_furniture(page);
        return page;
    }

    /// Backs. On the second side of a sheet the guides would only show how far the printer is off.
    [[nodiscard]] SheetPage back_page(std::size_t sheet) const {
        SheetPage page;
        page.side = Side::back;
        const bool own_sheet = options_.duplex == Duplex::none;
        fill(page, back_slots_[sheet]);
        if (!own_sheet) page.guides.clear();
        const Mm dx = options_.back_shift_x;
        const Mm dy = options_.back_shift_y;
        for (Place& place : page.places) {
            place.trim.x = place.trim.x + dx;
            place.trim.y = place.trim.y + dy;
        }
        for (Line& line : page.guides) {
            const bool vertical = line.x0 == line.x1;
            (vertical ? line.x0 : line.y0) = (vertical ? line.x0 + dx : line.y0 + dy);
            (vertical ? line.x1 : line.y1) = (vertical ? line.x1 + dx : line.y1 + dy);
        }
        if (own_sheet) add_furniture(page);
        return page;
    }

    void set_footer(SheetPage& page, const std::string& text) const {
        if (plan_.footer) add_text(page, plan_, *plan_.footer, text);
    }

    void set_first_sheet_texts(SheetPage& page) const {
        if (plan_.caution) add_text(page, plan_, *plan_.caution, caution);
        if (plan_.order) add_text(page, plan_, *plan_.order, order_text());
    }

  private:
    [[nodiscard]] const char* order_text() const {
        return options_.layout == Layout::fold
                   ? "Fold along the dashed line, glue, press, then cut."
                   : "Long cuts first, from guide to guide, leaving the margins on; then across.";
    }

    [[nodiscard]] std::vector<Slot> fronts(std::size_t sheet) const {
        const std::size_t begin = sheet * per_sheet_;
        const std::size_t end = std::min(begin + per_sheet_, pile_.cards.size());
        const int columns = options_.layout == Layout::fold ? grid_.columns / 2 : grid_.columns;
        std::vector<Slot> slots;
        for (std::size_t i = begin; i < end; ++i) {
            const PrintedCard& card = pile_.cards[i];
            const int n = static_cast<int>(i - begin);
            slots.push_back({n % columns, n / columns, card.front,
                             (card.front_turn + (grid_.turned ? 1 : 0)) % 4, i});
        }
        return slots;
    }

    [[nodiscard]] std::vector<Slot> backs(const std::vector<Slot>& fronts) const {
        std::vector<Slot> slots;
        for (const Slot& front : fronts) {
            const PrintedCard& card = pile_.cards[front.card];
            if (!card.back) continue;
            const int turn = (card.back_turn + (grid_.turned ? 1 : 0)) % 4;
            slots.push_back(behind(front, grid_, flip_, *card.back, turn));
        }
        return slots;
    }

    [[nodiscard]] Edges<Mm> widest_bleed() const {
        Edges<Mm> widest{};
        const auto widen = [&](const Slot& slot) {
            const Edges<Mm> bleed = turned_edges(faces_[slot.face].bleed, slot.turn);
            widest = {std::max(widest.top, bleed.top), std::max(widest.right, bleed.right),
                      std::max(widest.bottom, bleed.bottom), std::max(widest.left, bleed.left)};
        };
        for (const auto& slots : front_slots_) std::for_each(slots.begin(), slots.end(), widen);
        for (const auto& slots : back_slots_) std::for_each(slots.begin(), slots.end(), widen);
        return widest;
    }

    void fill(SheetPage& page, const std::vector<Slot>& slots) const {
        page.size = grid_.sheet;
        page.places = places(slots, grid_, faces_, plan_);
        page.guides = guide_lines(slots, grid_, plan_, options_.guides, options_.layout);
    }

    void add_furniture(SheetPage& page) const {
        if (plan_.bar_100_mm) {
            add_scale_bar(page, plan_, *plan_.bar_100_mm, Mm{10.0}, 10, "100 mm");
        }
        if (plan_.bar_3_in) {
            add_scale_bar(page, plan_, *plan_.bar_3_in, from_inches(1.0), 3, "3 in");
        }
    }

    const Pile& pile_;
    std::span<const FaceShape> faces_;
    const SheetOptions& options_;
    Grid grid_;
    Flip flip_ = Flip::sideways;
    std::size_t per_sheet_ = 1;
    MarginPlan plan_;
    std::vector<std::vector<Slot>> front_slots_, back_slots_;
};

}  // namespace

Imposition imposition(const Paper& paper, std::span<const FaceShape> faces,
                      std::span<const Card> cards, const SheetOptions& options,
                      const std::string& title) {
    check(options);
    Imposition result;
    result.paper = paper;
    result.options = options;
    const std::vector<Pile> groups = piles(faces, cards, options.backs);

    // Footers are shortened to the room they have; the room is sought for four-digit numbers.
    const std::string longest = footer(title, 9999, 9999, Side::front, true, paper.name);
    std::vector<PileLayout> layouts;
    layouts.reserve(groups.size());
    for (const Pile& pile : groups) layouts.emplace_back(pile, paper, faces, options, longest);

    const bool any_backs = std::any_of(layouts.begin(), layouts.end(),
                                       [](const PileLayout& layout) { return layout.has_backs(); });
    const bool two_sided = any_backs && options.duplex != Duplex::none;
    const bool back_sheets =
        any_backs && options.duplex == Duplex::none && options.layout == Layout::grid;

    std::vector<const PileLayout*> layout_of_page;
    const auto add = [&](SheetPage page, const PileLayout& layout, int sheet) {
        page.sheet = sheet;
        result.pages.push_back(std::move(page));
        layout_of_page.push_back(&layout);
    };
    for (std::size_t g = 0; g < groups.size(); ++g) {
        const PileLayout& layout = layouts[g];
        result.groups.push_back({groups[g].size, layout.grid(),
                                 static_cast<int>(groups[g].cards.size()),
                                 static_cast<int>(layout.sheets()), layout.unused()});
        result.cards += static_cast<int>(groups[g].cards.size());
        result.unused += layout.unused();
        result.scale_bars = result.scale_bars && layout.has_scale_bars();
        for (std::size_t i = 0; i < layout.sheets(); ++i) {
            ++result.sheets;
            add(layout.front_page(i), layout, result.sheets);
            // Also an empty one, so that fronts stay on odd pages.
            if (two_sided) add(layout.back_page(i), layout, result.sheets);
        }
    }
    if (back_sheets) {
        for (const PileLayout& layout : layouts) {
            for (std::size_t i = 0; i < layout.sheets(); ++i) {
                if (!layout.has_backs(i)) continue;
                ++result.sheets;
                add(layout.back_page(i), layout, result.sheets);
            }
        }
    }
    for (std::size_t p = 0; p < result.pages.size(); ++p) {
        SheetPage& page = result.pages[p];
        const PileLayout& layout = *layout_of_page[p];
        if (page.side == Side::back && page.places.empty()) continue;
        layout.set_footer(
            page, footer(title, page.sheet, result.sheets, page.side, any_backs, paper.name));
        if (p == 0) layout.set_first_sheet_texts(page);
    }
    return result;
}

}  // namespace paleproof::sheet
