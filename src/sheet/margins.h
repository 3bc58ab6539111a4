// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/geometry.h"
#include "sheet/imposition.h"

namespace paleproof::sheet {

/// Where a line of text or a bar begins: the left end of its base line.
struct Spot {
    Mm x, y;
    Mm length;
    bool upward = false;
};

/// What a grid leaves of the sheet, and what is set there. The same for all sheets of a group.
struct MarginPlan {
    /// From the outermost trim to where guides and bleed end and texts or the printer's margin
    /// begin, by edge of the sheet.
    Edges<Mm> reach;
    /// Edges that carry texts: there the bleed must end at `reach` too.
    Edges<bool> taken;
    Mm cap_height;
    Mm tick_height;  ///< end ticks of the scale bars
    std::optional<Spot> bar_100_mm, bar_3_in, footer, caution, order;
    std::optional<Spot> heading;    ///< of the legend
    std::vector<Spot> legend;       ///< one for each entry, or none at all
    std::vector<Spot> fold_labels;  ///< beside the ends of the fold line, where the margins allow
};

/// The lines of text that every sheet may carry; those of the first sheet are left out elsewhere.
struct MarginTexts {
    std::string footer;  ///< the longest of the group
    std::string caution;
    std::string order;
    std::vector<LegendEntry> legend;
    bool fold = false;  ///< a fold line runs head to foot through the middle of the sheet
};

inline constexpr const char* legend_heading = "Patterns stand for colors:";
inline constexpr const char* fold_label = "fold here";

/// Finds lanes for the texts and the scale bars in the margins: at the foot when there is room
/// beside bleed and guides, else along the head or the sides. Where margins are narrow the bleed
/// gives way down to 1 mm, then the lettering becomes smaller; what still has no room is left out,
/// bars last. `bleed`: the most that a face of the group has, by edge of the sheet.
[[nodiscard]] MarginPlan margin_plan(const Grid& grid, Mm margin, Edges<Mm> bleed,
                                     const MarginTexts& texts);

/// Adds a scale bar to a page: base line, end ticks, a small tick for each unit, a label.
/// `steps` units of `step` each.
void add_scale_bar(SheetPage& page, const MarginPlan& plan, const Spot& spot, Mm step, int steps,
                   const std::string& label);

/// Adds the legend: a sample of each pattern with what it stands for. Patterns lie on the sheet as
/// they do on its cards, which are `turned` by a quarter or not.
void add_legend(SheetPage& page, const MarginPlan& plan, const std::vector<LegendEntry>& legend,
                bool turned);

/// Adds a line of text, shortened to the spot.
void add_text(SheetPage& page, const MarginPlan& plan, const Spot& spot, const std::string& text);

}  // namespace paleproof::sheet
