// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/imposition.h"

#include <algorithm>
#include <utility>

#include "core/error.h"
#include "core/format.h"
#include "sheet/margins.h"
#include "sheet/page_layout.h"
#include "sheet/piles.h"

namespace paleproof::sheet {
namespace {

constexpr const char* caution = "Cut away from your hand, on a mat, against a steel rule.";

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
                    "choose the layout grid, or duplex none");
    }
}

/// Long cuts first. Between shared cuts nothing is left that could carry a guide, so the margins
/// stay on until the last cut; a gutter is halved first, and each half keeps its guides.
std::string cutting_order(const Grid& grid, Layout layout) {
    const bool down_first = grid.area.height >= grid.area.width;
    const bool fold = layout == Layout::fold;
    const auto cuts = [&](bool down) {
        // The fold itself is no cut.
        const int count = down && fold ? grid.columns / 2 : (down ? grid.columns : grid.rows) + 1;
        return std::to_string(count) + (count == 1 ? " cut" : " cuts") +
               (down ? " head to foot" : " side to side");
    };
    const std::string begin =
        fold ? "Order: fold at the dashed line, print outside; glue, press; then "
             : "Cutting order: first ";
    if (grid.gutter.value > 0.0) {
        return begin +
               "halve the gutters, long cuts first; then each card guide to guide, long cuts "
               "first.";
    }
    return begin + cuts(down_first) + ", guide to guide, margins left on; then " +
           cuts(!down_first) + ".";
}

std::string footer(const SheetTexts& texts, int sheet, int sheets, Side side, bool name_side,
                   const std::string& paper) {
    const char* separator = " \u00b7 ";
    std::string text;
    for (const std::string& part : {texts.title, texts.edition}) {
        if (!part.empty()) text += part + separator;
    }
    text += "sheet " + std::to_string(sheet) + " of " + std::to_string(sheets);
    if (name_side && side != Side::both) {
        text += std::string(separator) + (side == Side::front ? "fronts" : "backs");
    }
    return text + separator + paper + separator + "print at 100 %, no scaling";
}

/// Lays one pile on sheets.
class PileLayout {
  public:
    /// `first`: the pile's first sheet is the first of all and carries what is said but once.
    PileLayout(Pile& pile, const Paper& paper, std::span<const FaceShape> faces,
               const SheetOptions& options, const std::string& longest_footer,
               const std::vector<LegendEntry>& legend, bool first)
        : pile_(pile), faces_(faces), options_(options), legend_(legend) {
        grid_ = best_grid(paper.size, pile.size, options.margin, options.gutter, options.layout,
                          options.orientation);
        flip_ = grid_.sheet.width > grid_.sheet.height ? Flip::over : Flip::sideways;
        if (options.duplex == Duplex::short_edge) {
            flip_ = flip_ == Flip::over ? Flip::sideways : Flip::over;
        }
        if (options.layout == Layout::fold) flip_ = Flip::sideways;
        per_sheet_ = static_cast<std::size_t>(grid_.cards(options.layout));
        if (options.order == Order::even_ink) spread_ink(pile, per_sheet_);
        for (std::size_t i = 0; i < sheets(); ++i) {
            front_slots_.push_back(fronts(i));
            back_slots_.push_back(backs(front_slots_.back()));
        }
        const Edges<Mm> bleed = widest_bleed();
        const bool fold = options.layout == Layout::fold;
        plan_ = margin_plan(grid_, options.margin, bleed, {longest_footer, "", "", {}, fold});
        first_plan_ = first ? margin_plan(grid_, options.margin, bleed,
                                          {longest_footer, caution, order_text(), legend, fold})
                            : plan_;
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
    [[nodiscard]] bool has_legend() const { return legend_.empty() || !first_plan_.legend.empty(); }
    /// Mean total coverage of a sheet over its paper.
    [[nodiscard]] double ink(std::size_t sheet) const {
        double sum = 0.0;
        for (const Slot& slot : front_slots_[sheet]) sum += pile_.cards[slot.card].ink;
        const double places = grid_.place.width.value * grid_.place.height.value;
        return sum * places / (grid_.sheet.width.value * grid_.sheet.height.value);
    }

    /// Fronts; with Layout::fold also the backs.
    [[nodiscard]] SheetPage front_page(std::size_t sheet) const {
        std::vector<Slot> slots = front_slots_[sheet];
        SheetPage page;
        if (options_.layout == Layout::fold) {
            page.side = Side::both;
            slots.insert(slots.end(), back_slots_[sheet].begin(), back_slots_[sheet].end());
        }
        fill(page, slots, plan(sheet));
        add_furniture(page, plan(sheet));
        return page;
    }

    /// Backs. On the second side of a sheet the guides would only show how far the printer is off.
    [[nodiscard]] SheetPage back_page(std::size_t sheet) const {
        SheetPage page;
        page.side = Side::back;
        const bool own_sheet = options_.duplex == Duplex::none;
        fill(page, back_slots_[sheet], plan_);
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
        if (own_sheet) add_furniture(page, plan_);
        return page;
    }

    void set_footer(SheetPage& page, const std::string& text, bool first) const {
        const MarginPlan& plan = first ? first_plan_ : plan_;
        if (plan.footer) add_text(page, plan, *plan.footer, text);
    }

    void set_first_sheet_texts(SheetPage& page) const {
        const MarginPlan& plan = first_plan_;
        if (plan.caution) add_text(page, plan, *plan.caution, caution);
        if (plan.order) add_text(page, plan, *plan.order, order_text());
        add_legend(page, plan, legend_, grid_.turned);
    }

  private:
    [[nodiscard]] const MarginPlan& plan(std::size_t sheet) const {
        return sheet == 0 ? first_plan_ : plan_;
    }

    [[nodiscard]] std::string order_text() const { return cutting_order(grid_, options_.layout); }

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
            slots.back().light = card.light;
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

    void fill(SheetPage& page, const std::vector<Slot>& slots, const MarginPlan& plan) const {
        page.size = grid_.sheet;
        page.places = places(slots, grid_, faces_, plan);
        page.guides = guide_lines(slots, grid_, plan, options_);
    }

    static void add_furniture(SheetPage& page, const MarginPlan& plan) {
        if (plan.bar_100_mm) {
            add_scale_bar(page, plan, *plan.bar_100_mm, Mm{10.0}, 10, "100 mm");
        }
        if (plan.bar_3_in) {
            add_scale_bar(page, plan, *plan.bar_3_in, from_inches(1.0), 3, "3 in");
        }
        for (const Spot& spot : plan.fold_labels) add_text(page, plan, spot, fold_label);
    }

    const Pile& pile_;
    std::span<const FaceShape> faces_;
    const SheetOptions& options_;
    const std::vector<LegendEntry>& legend_;
    Grid grid_;
    Flip flip_ = Flip::sideways;
    std::size_t per_sheet_ = 1;
    MarginPlan plan_, first_plan_;
    std::vector<std::vector<Slot>> front_slots_, back_slots_;
};

/// Sheets of paper with this gutter; 0 when a card does not fit then.
int papers(const std::vector<Pile>& groups, const Paper& paper, const SheetOptions& options,
           Mm gutter) {
    int count = 0;
    for (const Pile& pile : groups) {
        std::size_t per_sheet = 0;
        try {
            const Grid grid = best_grid(paper.size, pile.size, options.margin, gutter,
                                        options.layout, options.orientation);
            per_sheet = static_cast<std::size_t>(grid.cards(options.layout));
        } catch (const Error&) {
            return 0;
        }
        for (std::size_t begin = 0; begin < pile.cards.size(); begin += per_sheet) {
            const auto first = pile.cards.begin() + static_cast<std::ptrdiff_t>(begin);
            const auto left = pile.cards.end() - first;
            const auto last = first + std::min(left, static_cast<std::ptrdiff_t>(per_sheet));
            ++count;
            const bool backs = std::any_of(
                first, last, [](const PrintedCard& card) { return card.back.has_value(); });
            if (backs && options.duplex == Duplex::none && options.layout == Layout::grid) ++count;
        }
    }
    return count;
}

/// Twice the widest bleed of the cards that are printed.
Mm gutter_of_bleed(std::span<const FaceShape> faces, std::span<const Card> cards) {
    Mm widest{0.0};
    for (const Card& card : cards) {
        if (card.copies == 0) continue;
        const auto widen = [&](std::size_t face) {
            if (face >= faces.size()) return;
            const Edges<Mm>& bleed = faces[face].bleed;
            widest = std::max({widest, bleed.top, bleed.right, bleed.bottom, bleed.left});
        };
        widen(card.front);
        if (card.back) widen(*card.back);
    }
    return 2.0 * widest;
}

}  // namespace

Imposition imposition(const Paper& paper, std::span<const FaceShape> faces,
                      std::span<const Card> cards, const SheetOptions& asked,
                      const SheetTexts& texts) {
    check(asked);
    Imposition result;
    result.paper = paper;
    const Mm bleed_gutter = gutter_of_bleed(faces, cards);
    SheetOptions& options = result.options = asked;
    if (asked.gutter_for_bleed) options.gutter = bleed_gutter;
    std::vector<Pile> groups = piles(faces, cards, options);
    result.sheets_shared = papers(groups, paper, options, Mm{0.0});
    result.sheets_bleed = papers(groups, paper, options, bleed_gutter);

    // Footers are shortened to the room they have; the room is sought for four-digit numbers.
    const std::string longest = footer(texts, 9999, 9999, Side::front, true, paper.name);
    std::vector<PileLayout> layouts;
    layouts.reserve(groups.size());
    for (Pile& pile : groups) {
        layouts.emplace_back(pile, paper, faces, options, longest, texts.legend, layouts.empty());
    }
    result.legend = layouts.empty() || layouts.front().has_legend();

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
            result.sheet_ink.push_back(layout.ink(i));
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
            page, footer(texts, page.sheet, result.sheets, page.side, any_backs, paper.name),
            p == 0);
        if (p == 0) layout.set_first_sheet_texts(page);
    }
    return result;
}

}  // namespace paleproof::sheet
