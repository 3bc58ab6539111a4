// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/test_page.h"

#include <algorithm>
#include <string>
#include <vector>

#include "core/format.h"
#include "sheet/margins.h"
#include "sheet/stroke_font.h"

namespace paleproof::sheet {
namespace {

constexpr int scale_reach = 10;  // mm on each side of the middle
constexpr Mm letters{2.0};
constexpr Mm line_pitch{4.2};
constexpr Mm cross_reach{18.0};
constexpr Mm inset{6.0};  // of texts from the frame

std::string signed_number(int value) {
    return value > 0 ? "+" + std::to_string(value) : std::to_string(value);
}

/// Scale along x (or y) through the middle, a tick each half millimeter, longer each whole and each
/// fifth one. `sign`: which way the numbers grow.
void add_scale(SheetPage& page, bool vertical, int sign) {
    const Mm cx = page.size.width / 2.0;
    const Mm cy = page.size.height / 2.0;
    const auto tick = [&](Mm along, Mm length) {
        page.marks.push_back(vertical ? Line{cx, cy + along, cx + length, cy + along}
                                      : Line{cx + along, cy - length, cx + along, cy});
    };
    for (int half = -2 * scale_reach; half <= 2 * scale_reach; ++half) {
        const Mm along{half * 0.5};
        const bool fifth = half % 10 == 0;
        tick(along, Mm{fifth ? 3.5 : half % 2 == 0 ? 2.2 : 1.2});
        // Labels at the ends alone: nearer ones would meet those of the other scale.
        if (half != 2 * scale_reach && half != -2 * scale_reach) continue;
        const std::string label = signed_number(sign * half / 2);
        const Mm width = text_width(label, letters);
        page.texts.push_back(vertical
                                 ? Text{label, cx + Mm{4.2}, cy + along + letters / 2.0, letters}
                                 : Text{label, cx + along - width / 2.0, cy - Mm{4.2}, letters});
    }
    const Mm reach{static_cast<double>(scale_reach)};
    page.marks.push_back(vertical ? Line{cx, cy - reach, cx, cy + reach}
                                  : Line{cx - reach, cy, cx + reach, cy});
}

/// Lines of text from `y` downward, broken between words.
Mm add_lines(SheetPage& page, const std::string& text, Mm x, Mm y, Mm width) {
    std::string line;
    std::size_t at = 0;
    const auto flush = [&] {
        page.texts.push_back({line, x, y, letters});
        y = y + line_pitch;
        line.clear();
    };
    while (at < text.size()) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        const std::string word = text.substr(at, end - at);
        if (!line.empty() && text_width(line + " " + word, letters) > width) flush();
        line += (line.empty() ? "" : " ") + word;
        at = end + 1;
    }
    if (!line.empty()) flush();
    return y;
}

void add_frame(SheetPage& page, Mm margin) {
    const Mm right = page.size.width - margin;
    const Mm bottom = page.size.height - margin;
    for (const Line& line :
         {Line{margin, margin, right, margin, true}, Line{right, margin, right, bottom, true},
          Line{margin, bottom, right, bottom, true}, Line{margin, margin, margin, bottom, true}}) {
        page.marks.push_back(line);
    }
}

void add_bars(SheetPage& page, Mm margin) {
    MarginPlan plan;
    plan.cap_height = letters;
    plan.tick_height = Mm{3.0};
    const Mm foot = page.size.height - margin - inset;
    const Mm left = margin + inset;
    const Mm room = page.size.width - 2.0 * left;
    if (room >= Mm{100.0}) {
        add_scale_bar(page, plan, {left, foot, Mm{100.0}, false}, Mm{10.0}, 10, "100 mm across");
    }
    if (room >= from_inches(3.0)) {
        add_scale_bar(page, plan, {left, foot - Mm{8.0}, from_inches(3.0), false}, from_inches(1.0),
                      3, "3 in across");
    }
    const Mm beside = page.size.width - margin - inset;
    if (page.size.height - 2.0 * left >= Mm{100.0}) {
        add_scale_bar(page, plan, {beside, foot, Mm{100.0}, true}, Mm{10.0}, 10, "100 mm down");
    }
}

}  // namespace

Imposition test_page(const Paper& paper, SizeMm size, const SheetOptions& options) {
    const bool lying = size.width > size.height;
    // As the sheets are turned: about a vertical line, or about a horizontal one.
    const bool sideways = (options.duplex == Duplex::short_edge) == lying;
    SheetPage front;
    front.size = size;
    front.side = Side::front;
    add_frame(front, options.margin);
    add_bars(front, options.margin);
    // Seen through the paper, one of the two directions of the back is reversed; a back that lies
    // too far one way must be moved the other.
    add_scale(front, false, sideways ? 1 : -1);
    add_scale(front, true, sideways ? -1 : 1);

    const Mm left = options.margin + inset;
    const Mm width = size.width - 2.0 * left;
    const std::string turn =
        options.duplex == Duplex::none
            ? "turn the sheet by hand as you do for backs"
            : std::string("two-sided, ") +
                  (options.duplex == Duplex::long_edge ? "long edge" : "short edge");
    Mm y = options.margin + inset + letters;
    y = add_lines(front, "Test page, front \u00b7 " + paper.name, left, y, width) + Mm{1.5};
    for (const std::string& step :
         {"1. Print both pages on one sheet at 100 %, no scaling; " + turn + ".",
          std::string(
              "2. Scale: measure the bars at the foot and at the side. If 100 mm are off by "
              "more than 0.5 mm, switch off fitting and scaling in the print dialog."),
          "3. Frame: it lies " + millimeters(options.margin) +
              " from the edges. If a side of it is missing, set margin to a larger length.",
          std::string(
              "4. Shift: hold the sheet against the light, this side towards you. The cross "
              "of the back shows through. Read where its upright line meets the level "
              "scale, and where its level line meets the upright scale; a small tick is "
              "half a millimeter."),
          std::string("5. Write the two numbers into the job file, the level scale's first: "
                      "[sheets] back_shift = [\"0.5mm\", \"-1mm\"]. The next "
                      "sheets have their backs moved by that much.")}) {
        y = add_lines(front, step, left, y, width) + Mm{0.8};
    }

    SheetPage back;
    back.size = size;
    back.side = Side::back;
    const Mm cx = size.width / 2.0;
    const Mm cy = size.height / 2.0;
    back.marks.push_back({cx - cross_reach, cy, cx + cross_reach, cy});
    back.marks.push_back({cx, cy - cross_reach, cx, cy + cross_reach});
    back.texts.push_back({"Test page, back", left, options.margin + inset + letters, letters});

    Imposition result;
    result.paper = paper;
    result.options = options;
    result.sheets = 1;
    result.pages = {std::move(front), std::move(back)};
    return result;
}

}  // namespace paleproof::sheet
