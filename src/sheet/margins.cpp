// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/margins.h"

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

#include "sheet/stroke_font.h"

namespace paleproof::sheet {
namespace {

constexpr Mm between_items{6.0};
constexpr Mm bar_mm_length{100.0};
constexpr Mm bar_in_length = from_inches(3.0);
/// A footer may be shortened to this, no further.
constexpr Mm shortest_footer{40.0};
/// A cut may be off by this much without a white sliver.
constexpr Mm least_bleed{1.0};
constexpr std::size_t lanes_per_side = 3;
constexpr Mm swatch_length{7.0};
constexpr Mm swatch_to_label{1.0};
constexpr Mm between_entries{3.0};
constexpr Mm heading_to_entry{2.0};
/// On each side of the fold line, also past its label.
constexpr Mm clear_of_fold{1.5};
/// Texts along a side keep this far from those at head and foot.
constexpr Mm clear_of_corner{1.5};

/// How much the texts may take from bleed and guides.
struct Level {
    Mm lane;        ///< depth of a lane
    Mm cap_height;  ///< of its letters
    Mm tick;        ///< of its scale bars
    Mm guide;       ///< length that the guides keep past the bleed
    bool whole_bleed;
};

constexpr std::array levels{
    Level{{2.8}, {1.7}, {2.0}, {1.5}, true},  Level{{2.6}, {1.6}, {2.0}, {0.0}, true},
    Level{{2.6}, {1.6}, {2.0}, {0.0}, false}, Level{{2.2}, {1.4}, {1.7}, {0.0}, false},
    Level{{1.6}, {1.0}, {1.2}, {0.0}, false},
};

enum SideIndex : std::size_t { bottom, top, left, right };

template <class T>
T& edge(Edges<T>& edges, std::size_t side) {
    T* const all[] = {&edges.bottom, &edges.top, &edges.left, &edges.right};
    return *all[side];
}

struct Lane {
    std::size_t side;
    std::size_t number;  ///< 0 lies at the printer's margin
    Mm start;            ///< from the printer's margin, or from what lies in the corner
    Mm length;
    Mm used{0.0};
    bool in_use = false;
};

struct Placed {
    std::size_t lane;
    Mm start;
    Mm length;
};

struct Attempt {
    std::vector<Lane> lanes;
    std::optional<Placed> bar_mm, bar_in, footer, caution, order;
    std::optional<Placed> heading;
    std::vector<Placed> legend;
    int fold_labels = 0;
    [[nodiscard]] int score() const {
        return (bar_mm ? 256 : 0) + (bar_in ? 128 : 0) + (legend.empty() ? 0 : 64) +
               (footer ? 32 : 0) + 8 * fold_labels + (order ? 4 : 0) + (caution ? 2 : 0) +
               (heading ? 1 : 0);
    }
};

int full_score(const MarginTexts& texts) {
    return 256 + 128 + (texts.legend.empty() ? 0 : 64 + 1) + 32 + (texts.fold ? 16 : 0) +
           (texts.order.empty() ? 0 : 4) + (texts.caution.empty() ? 0 : 2);
}

Mm entry_length(const LegendEntry& entry, Mm cap_height) {
    return swatch_length + swatch_to_label + text_width(entry.label, cap_height);
}

std::optional<Placed> put(std::vector<Lane>& lanes, Mm length, Mm between = between_items) {
    for (std::size_t i = 0; i < lanes.size(); ++i) {
        Lane& lane = lanes[i];
        const Mm start = lane.used.value > 0.0 ? lane.used + between : Mm{0.0};
        if (start + length > lane.length) continue;
        for (Lane& outer : lanes) {
            if (outer.side == lane.side && outer.number < lane.number) outer.in_use = true;
        }
        lane.in_use = true;
        lane.used = start + length;
        return Placed{i, start, length};
    }
    return std::nullopt;
}

std::optional<Placed> put_footer(std::vector<Lane>& lanes, Mm length) {
    if (auto placed = put(lanes, length)) return placed;
    Mm longest{0.0};
    for (const Lane& lane : lanes) {
        longest = std::max(
            longest, lane.length - (lane.used.value > 0.0 ? lane.used + between_items : Mm{}));
    }
    if (longest < shortest_footer) return std::nullopt;
    return put(lanes, longest);
}

/// All of the legend, or none of it. Its heading stands before the first entry, where it fits.
void put_legend(Attempt& result, Mm cap_height, const std::vector<LegendEntry>& legend) {
    const std::vector<Lane> before = result.lanes;
    const Mm heading_width = text_width(legend_heading, cap_height);
    const Mm heading = heading_width + heading_to_entry;
    for (const bool headed : {true, false}) {
        result.lanes = before;
        result.legend.clear();
        result.heading.reset();
        for (const LegendEntry& entry : legend) {
            const bool first = result.legend.empty();
            const Mm prefix = first && headed ? heading : Mm{0.0};
            auto placed = put(result.lanes, prefix + entry_length(entry, cap_height),
                              first ? between_items : between_entries);
            if (!placed) break;
            if (first && headed) {
                result.heading = Placed{placed->lane, placed->start, heading_width};
                placed->start = placed->start + heading;
                placed->length = placed->length - heading;
            }
            result.legend.push_back(*placed);
        }
        if (result.legend.size() == legend.size()) return;
    }
    result.lanes = before;
    result.legend.clear();
    result.heading.reset();
}

Attempt attempt(const std::vector<Lane>& lanes, Mm cap_height, const MarginTexts& texts,
                bool bars_first) {
    Attempt result;
    result.lanes = lanes;
    for (const std::size_t side : {bottom, top}) {
        const bool there =
            std::ranges::any_of(lanes, [side](const Lane& lane) { return lane.side == side; });
        result.fold_labels += texts.fold && there ? 1 : 0;
    }
    const auto put_bars = [&] {
        // Side by side when one lane takes both.
        if (const auto both = put(result.lanes, bar_mm_length + between_items + bar_in_length)) {
            result.bar_mm = Placed{both->lane, both->start, bar_mm_length};
            result.bar_in =
                Placed{both->lane, both->start + bar_mm_length + between_items, bar_in_length};
            return;
        }
        result.bar_mm = put(result.lanes, bar_mm_length);
        result.bar_in = put(result.lanes, bar_in_length);
    };
    if (bars_first) put_bars();
    result.footer = put_footer(result.lanes, text_width(texts.footer, cap_height));
    if (!bars_first) put_bars();
    put_legend(result, cap_height, texts.legend);
    if (!texts.order.empty()) {
        result.order = put(result.lanes, text_width(texts.order, cap_height));
    }
    if (!texts.caution.empty()) {
        result.caution = put(result.lanes, text_width(texts.caution, cap_height));
    }
    return result;
}

/// Where lanes fit at this level. At head and foot a fold line parts them, and the innermost part
/// beside it is kept for its label.
std::vector<Lane> lanes_of(const Grid& grid, Mm margin, Edges<Mm> room, Edges<Mm> bleed,
                           const Level& level, bool fold) {
    std::vector<Lane> lanes;
    Edges<Mm> depth{};
    for (const std::size_t side : {bottom, top, left, right}) {
        const Mm kept =
            (level.whole_bleed ? edge(bleed, side) : std::min(edge(bleed, side), least_bleed)) +
            level.guide;
        for (std::size_t n = 0; n < lanes_per_side; ++n) {
            if (edge(room, side) - kept - edge(depth, side) + Mm{1e-6} < level.lane) break;
            edge(depth, side) = edge(depth, side) + level.lane;
            if (side == left || side == right) {
                lanes.push_back({side, n, clear_of_corner, {}});
                continue;
            }
            const Mm length = grid.sheet.width - 2.0 * margin;
            if (!fold) {
                lanes.push_back({side, n, {}, length});
                continue;
            }
            const Mm before = length / 2.0 - clear_of_fold;
            const Mm label = n == 0 ? text_width(fold_label, level.cap_height) : Mm{0.0};
            const Mm after = length / 2.0 + clear_of_fold + label + clear_of_fold;
            lanes.push_back({side, n, {}, before, {}, n == 0});
            lanes.push_back({side, n, after, length - after, {}, n == 0});
        }
    }
    for (Lane& lane : lanes) {
        // Lanes along the sides keep out of the corners that head and foot may use.
        if (lane.side == bottom || lane.side == top) continue;
        lane.length =
            grid.sheet.height - 2.0 * margin - depth.top - depth.bottom - 2.0 * clear_of_corner;
    }
    return lanes;
}

struct Chosen {
    Attempt attempt;
    Level level;
};

/// The attempt that places most, with as much bleed and guide left as that allows.
Chosen best_attempt(const Grid& grid, Mm margin, Edges<Mm> room, Edges<Mm> bleed,
                    const MarginTexts& texts) {
    Chosen best{{}, levels.back()};
    for (const Level& level : levels) {
        const std::vector<Lane> lanes = lanes_of(grid, margin, room, bleed, level, texts.fold);
        for (const bool bars_first : {false, true}) {
            Attempt candidate = attempt(lanes, level.cap_height, texts, bars_first);
            if (candidate.score() > best.attempt.score()) best = {std::move(candidate), level};
        }
        if (best.attempt.score() == full_score(texts)) break;
    }
    return best;
}

}  // namespace

MarginPlan margin_plan(const Grid& grid, Mm margin, Edges<Mm> bleed, const MarginTexts& texts) {
    Edges<Mm> room{grid.area.y - margin, grid.sheet.width - grid.area.right() - margin,
                   grid.sheet.height - grid.area.bottom() - margin, grid.area.x - margin};
    for (std::size_t side = 0; side < 4; ++side) {
        edge(room, side) = std::max(edge(room, side), Mm{0.0});
    }

    const Chosen chosen = best_attempt(grid, margin, room, bleed, texts);
    const Attempt& best = chosen.attempt;
    const Level& level = chosen.level;
    MarginPlan plan;
    plan.reach = room;
    plan.cap_height = level.cap_height;
    plan.tick_height = level.tick;
    Edges<Mm> depth{};
    Edges<Mm> used{};
    for (const Lane& lane : best.lanes) {
        const Mm deep = static_cast<double>(lane.number + 1) * level.lane;
        edge(depth, lane.side) = std::max(edge(depth, lane.side), deep);
        if (!lane.in_use) continue;
        edge(plan.taken, lane.side) = true;
        edge(used, lane.side) = std::max(edge(used, lane.side), deep);
    }
    for (const std::size_t side : {bottom, top, left, right}) {
        edge(plan.reach, side) = edge(plan.reach, side) - edge(used, side);
    }
    const Mm inset = (level.lane - level.cap_height) / 2.0;
    const auto spot = [&](const std::optional<Placed>& placed) -> std::optional<Spot> {
        if (!placed) return std::nullopt;
        const Lane& lane = best.lanes[placed->lane];
        const Mm outer = margin + static_cast<double>(lane.number) * level.lane;
        const Mm start = lane.start + placed->start;
        const Mm head_inset = outer + inset + level.cap_height;
        const Mm from_bottom = grid.sheet.height - margin - depth.bottom - start;
        switch (lane.side) {
            case bottom:
                return Spot{margin + start, grid.sheet.height - outer - inset, placed->length,
                            false};
            case top:
                return Spot{margin + start, head_inset, placed->length, false};
            case left:
                return Spot{head_inset, from_bottom, placed->length, true};
            default:
                return Spot{grid.sheet.width - outer - inset, from_bottom, placed->length, true};
        }
    };
    plan.bar_100_mm = spot(best.bar_mm);
    plan.bar_3_in = spot(best.bar_in);
    plan.footer = spot(best.footer);
    plan.caution = spot(best.caution);
    plan.order = spot(best.order);
    plan.heading = spot(best.heading);
    for (const Placed& entry : best.legend) plan.legend.push_back(*spot(entry));
    if (texts.fold) {
        const Mm x = grid.sheet.width / 2.0 + clear_of_fold;
        const Mm length = text_width(fold_label, level.cap_height);
        const Mm head = margin + inset + level.cap_height;
        const Mm foot = grid.sheet.height - margin - inset;
        if (depth.top.value > 0.0) plan.fold_labels.push_back({x, head, length, false});
        if (depth.bottom.value > 0.0) plan.fold_labels.push_back({x, foot, length, false});
    }
    return plan;
}

void add_scale_bar(SheetPage& page, const MarginPlan& plan, const Spot& spot, Mm step, int steps,
                   const std::string& label) {
    const auto line = [&](Mm along0, Mm up0, Mm along1, Mm up1) {
        page.marks.push_back(
            spot.upward ? Line{spot.x - up0, spot.y - along0, spot.x - up1, spot.y - along1}
                        : Line{spot.x + along0, spot.y - up0, spot.x + along1, spot.y - up1});
    };
    const Mm length = step * static_cast<double>(steps);
    const Mm letters = plan.cap_height * 0.8;
    const Mm label_width = text_width(label, letters);
    const Mm label_start = (length - label_width) / 2.0;
    line({0.0}, {0.0}, length, {0.0});
    for (int i = 0; i <= steps; ++i) {
        const Mm at = step * static_cast<double>(i);
        const bool end = i == 0 || i == steps;
        if (!end && at + Mm{0.8} > label_start && at - Mm{0.8} < label_start + label_width)
            continue;
        line(at, {0.0}, at, end ? plan.tick_height : plan.tick_height * 0.4);
    }
    const Mm above = plan.tick_height - letters;
    page.texts.push_back(spot.upward
                             ? Text{label, spot.x - above, spot.y - label_start, letters, true}
                             : Text{label, spot.x + label_start, spot.y - above, letters, false});
}

void add_legend(SheetPage& page, const MarginPlan& plan, const std::vector<LegendEntry>& legend,
                bool turned) {
    if (plan.legend.size() != legend.size()) return;
    if (plan.heading) add_text(page, plan, *plan.heading, legend_heading);
    // A little higher than the letters; the lane has room for it.
    const Mm height = plan.cap_height * 1.35;
    const Mm below = (height - plan.cap_height) / 2.0;
    for (std::size_t i = 0; i < legend.size(); ++i) {
        const Spot& spot = plan.legend[i];
        Swatch swatch{{}, legend[i].sample};
        const Mm label = swatch_length + swatch_to_label;
        if (spot.upward) {
            swatch.box = {spot.x + below - height, spot.y - swatch_length, height, swatch_length};
            page.texts.push_back({legend[i].label, spot.x, spot.y - label, plan.cap_height, true});
        } else {
            swatch.box = {spot.x, spot.y + below - height, swatch_length, height};
            page.texts.push_back({legend[i].label, spot.x + label, spot.y, plan.cap_height, false});
        }
        // Cards turned by a quarter, clockwise, have their patterns turned with them.
        for (PatternLines& lines : swatch.sample.lines) lines.angle_deg -= turned ? 90.0 : 0.0;
        page.swatches.push_back(std::move(swatch));
    }
}

void add_text(SheetPage& page, const MarginPlan& plan, const Spot& spot, const std::string& text) {
    page.texts.push_back({shortened(text, plan.cap_height, spot.length + Mm{1e-6}), spot.x, spot.y,
                          plan.cap_height, spot.upward});
}

}  // namespace paleproof::sheet
