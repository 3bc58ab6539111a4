// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>
#include <set>
#include <utility>

#include "sheet/page_layout.h"

namespace paleproof::sheet {
namespace {

constexpr Mm tick_length{7.0};
/// Between the end of a full guide and a text beside it.
constexpr Mm clear_of_text{1.5};

/// A cut: the near edge of a column or row, or its far one. With shared cuts the right edge of a
/// column is the left edge of the next: one cut.
struct Cut {
    int place = 0;
    bool far = false;
    auto operator<=>(const Cut&) const = default;
};

struct Span {
    Mm from, to;
};

/// Cuts of one direction seen as lines along an axis; the other direction is the same, turned.
class Direction {
  public:
    Direction(std::span<const Slot> slots, const Grid& grid, const MarginPlan& plan, bool vertical)
        : grid_(grid), vertical_(vertical), shared_(grid.gutter.value <= 0.0) {
        for (const Slot& slot : slots) {
            taken_.insert({slot.column, slot.row});
            const int at = vertical ? slot.column : slot.row;
            cuts_.insert({at, false});
            cuts_.insert(shared_ ? Cut{at + 1, false} : Cut{at, true});
        }
        const RectMm& area = grid.area;
        reach_ = vertical ? Span{area.y - plan.reach.top, area.bottom() + plan.reach.bottom}
                          : Span{area.x - plan.reach.left, area.right() + plan.reach.right};
    }

    [[nodiscard]] const std::set<Cut>& cuts() const { return cuts_; }
    [[nodiscard]] Span reach() const { return reach_; }

    [[nodiscard]] Mm at(Cut cut) const {
        const RectMm trim = vertical_ ? grid_.trim(cut.place, 0) : grid_.trim(0, cut.place);
        return vertical_ ? (cut.far ? trim.right() : trim.x) : (cut.far ? trim.bottom() : trim.y);
    }

    [[nodiscard]] Line line(Mm at, Span span) const {
        return vertical_ ? Line{at, span.from, at, span.to} : Line{span.from, at, span.to, at};
    }

    /// The parts of a cut that lie in a margin, beside a card, or in a gutter between two cards:
    /// not those that cross empty places, where nothing is to be cut.
    [[nodiscard]] std::vector<Span> parts(Cut cut) const {
        const int count = vertical_ ? grid_.rows : grid_.columns;
        const int near = cut.far ? cut.place : cut.place - 1;
        const auto beside = [&](int step) {
            if (step < 0 || step >= count) return false;
            if (!shared_) return has(cut.place, step);
            return has(near, step) || has(cut.place, step);
        };
        std::vector<Span> result;
        Mm from = reach_.from;
        for (int step = 0; step <= count; ++step) {
            // Margin or gutter before this step, then the step itself.
            const bool last = step == count;
            const Mm start = last ? reach_.to : along(step, false);
            const bool gap = step == 0 || last || beside(step - 1) || beside(step);
            if (gap) add(result, {from, start});
            if (last) break;
            const Mm end = along(step, true);
            if (beside(step)) {
                add(result, {start, end});
            } else {
                // A mark past the bleed of the cards before and after the empty place.
                if (beside(step - 1)) add(result, {start, std::min(end, start + tick_length)});
                if (beside(step + 1)) add(result, {std::max(start, end - tick_length), end});
            }
            from = end;
        }
        return result;
    }

  private:
    [[nodiscard]] bool has(int place, int step) const {
        return taken_.contains(vertical_ ? std::pair{place, step} : std::pair{step, place});
    }
    /// Where a step along the cut begins or ends.
    [[nodiscard]] Mm along(int step, bool end) const {
        const RectMm trim = vertical_ ? grid_.trim(0, step) : grid_.trim(step, 0);
        return vertical_ ? (end ? trim.bottom() : trim.y) : (end ? trim.right() : trim.x);
    }
    static void add(std::vector<Span>& spans, Span span) {
        if (!spans.empty() && spans.back().to >= span.from) {
            spans.back().to = std::max(spans.back().to, span.to);
        } else if (span.to > span.from) {
            spans.push_back(span);
        }
    }

    const Grid& grid_;
    bool vertical_;
    bool shared_;
    std::set<std::pair<int, int>> taken_;
    std::set<Cut> cuts_;
    Span reach_;
};

/// What stands in the margins, as rectangles that full guides end before.
std::vector<RectMm> texts_of(const MarginPlan& plan) {
    std::vector<RectMm> boxes;
    const auto add = [&](const std::optional<Spot>& spot) {
        if (!spot) return;
        const Mm up = std::max(plan.cap_height, plan.tick_height);
        boxes.push_back(spot->upward
                            ? RectMm{spot->x - up, spot->y - spot->length, up, spot->length}
                            : RectMm{spot->x, spot->y - up, spot->length, up});
    };
    for (const auto& spot :
         {plan.bar_100_mm, plan.bar_3_in, plan.footer, plan.caution, plan.order}) {
        add(spot);
    }
    for (const Spot& spot : plan.legend) add(spot);
    return boxes;
}

/// From margin to margin, but no nearer to a text than `clear_of_text`.
Span full_span(Mm at, Span reach, Mm begin, Mm end, bool vertical,
               const std::vector<RectMm>& texts) {
    Span span{begin, end};
    for (const RectMm& box : texts) {
        const Mm low = (vertical ? box.x : box.y) - clear_of_text;
        const Mm high = (vertical ? box.right() : box.bottom()) + clear_of_text;
        if (at < low || at > high) continue;
        const Mm first = (vertical ? box.y : box.x) - clear_of_text;
        const Mm last = (vertical ? box.bottom() : box.right()) + clear_of_text;
        if (last <= reach.from + 2.0 * clear_of_text) span.from = std::max(span.from, last);
        if (first >= reach.to - 2.0 * clear_of_text) span.to = std::min(span.to, first);
    }
    return {std::min(span.from, reach.from), std::max(span.to, reach.to)};
}

}  // namespace

std::vector<Line> guide_lines(std::span<const Slot> slots, const Grid& grid, const MarginPlan& plan,
                              const SheetOptions& options) {
    const Direction down(slots, grid, plan, true);
    const Direction across(slots, grid, plan, false);
    const bool fold = options.layout == Layout::fold;
    const Mm middle = grid.sheet.width / 2.0;
    std::vector<Line> lines;
    // Through the texts' lanes, which keep clear of it: a fold must be found at first sight.
    if (fold) {
        lines.push_back(
            {middle, options.margin, middle, grid.sheet.height - options.margin, true, true});
    }
    if (options.guides == Guides::none) return lines;

    const bool shared = grid.gutter.value <= 0.0;
    const std::vector<RectMm> texts = texts_of(plan);
    for (const bool vertical : {true, false}) {
        const Direction& direction = vertical ? down : across;
        const Direction& other = vertical ? across : down;
        const Mm paper = vertical ? grid.sheet.height : grid.sheet.width;
        for (const Cut& cut : direction.cuts()) {
            // Folded cards meet at the fold: no cut there.
            if (vertical && fold && shared && cut.place * 2 == grid.columns) continue;
            const Mm at = direction.at(cut);
            const Span reach = direction.reach();
            switch (options.guides) {
                case Guides::lines:
                    for (const Span& part : direction.parts(cut)) {
                        lines.push_back(direction.line(at, part));
                    }
                    break;
                case Guides::full:
                    lines.push_back(
                        direction.line(at, full_span(at, reach, options.margin,
                                                     paper - options.margin, vertical, texts)));
                    break;
                case Guides::ticks:
                    // What lies under the art does not show.
                    for (const Cut& end : other.cuts()) {
                        const Mm corner = other.at(end);
                        lines.push_back(
                            direction.line(at, {std::max(reach.from, corner - tick_length),
                                                std::min(reach.to, corner + tick_length)}));
                    }
                    break;
                case Guides::none:
                    break;
            }
        }
    }
    return lines;
}

}  // namespace paleproof::sheet
