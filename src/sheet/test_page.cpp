// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/test_page.h"

#include <algorithm>
#include <array>
#include <string>
#include <utility>

#include "core/format.h"
#include "sheet/margins.h"
#include "sheet/stroke_font.h"

namespace paleproof::sheet {
namespace {

constexpr int scale_reach = 10;  // mm on each side of the middle
constexpr Mm scale_letters{2.0};
/// The scales lie beside the middle, so that none covers the other.
constexpr Mm scale_offset{14.0};
constexpr Mm cross_reach{30.0};
constexpr Mm inset{6.0};  // of texts from the frame
/// Heights of capitals to try, largest first: the texts must end above the scales.
constexpr std::array text_sizes{Mm{2.4}, Mm{2.0}, Mm{1.6}, Mm{1.3}, Mm{1.0}};

std::string signed_number(int value) {
    return value > 0 ? "+" + std::to_string(value) : std::to_string(value);
}

/// Scale along x below the middle (or along y, left of it), a tick each half millimeter, longer
/// each whole and each fifth one. `sign`: which way the numbers grow.
void add_scale(SheetPage& page, bool vertical, int sign) {
    const Mm cx = page.size.width / 2.0;
    const Mm cy = page.size.height / 2.0;
    const Mm across = vertical ? cx - scale_offset : cy + scale_offset;
    const Mm middle = vertical ? cy : cx;
    // `up` is away from the middle of the page.
    const auto line = [&](Mm along0, Mm up0, Mm along1, Mm up1) {
        page.marks.push_back(
            vertical ? Line{across - up0, middle + along0, across - up1, middle + along1}
                     : Line{middle + along0, across + up0, middle + along1, across + up1});
    };
    for (int half = -2 * scale_reach; half <= 2 * scale_reach; ++half) {
        const Mm along{half * 0.5};
        const bool fifth = half % 10 == 0;
        line(along, {0.0}, along, Mm{fifth ? 3.5 : half % 2 == 0 ? 2.2 : 1.2});
        if (!fifth) continue;
        const std::string label = signed_number(sign * half / 2);
        const Mm width = text_width(label, scale_letters);
        page.texts.push_back(vertical ? Text{label, across - Mm{4.2} - width,
                                             middle + along + scale_letters / 2.0, scale_letters}
                                      : Text{label, middle + along - width / 2.0,
                                             across + Mm{4.2} + scale_letters, scale_letters});
    }
    const Mm reach{static_cast<double>(scale_reach)};
    line(Mm{0.0} - reach, {0.0}, reach, {0.0});
    const std::string name = vertical ? "second number" : "first number";
    const Mm width = text_width(name, scale_letters);
    page.texts.push_back(
        vertical ? Text{name, across - Mm{11.0}, middle + width / 2.0, scale_letters, true}
                 : Text{name, middle - width / 2.0, across + Mm{11.0}, scale_letters});
}

/// Lines of text from `y` downward, broken between words. Returns where the next one begins.
Mm add_lines(SheetPage& page, const std::string& text, Mm x, Mm y, Mm width, Mm letters) {
    std::string line;
    std::size_t at = 0;
    const auto flush = [&] {
        page.texts.push_back({line, x, y, letters});
        y = y + 2.1 * letters;
        line.clear();
    };
    while (at < text.size()) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        const std::string word = text.substr(at, end - at);
        std::string longer = line;
        if (!line.empty()) longer += ' ';
        longer += word;
        if (line.empty() || text_width(longer, letters) <= width) {
            line = std::move(longer);
        } else {
            flush();
            line = word;
        }
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
    plan.cap_height = scale_letters;
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

/// What to do, step by step, in the largest letters that leave the scales free.
void add_steps(SheetPage& page, const Paper& paper, const SheetOptions& options) {
    const Mm left = options.margin + inset;
    const Mm width = page.size.width - 2.0 * left;
    const Mm free = page.size.height / 2.0 - cross_reach / 2.0;
    const std::string turn =
        options.duplex == Duplex::none
            ? "turn the sheet by hand as you do for backs"
            : std::string("two-sided, ") +
                  (options.duplex == Duplex::long_edge ? "long edge" : "short edge");
    const std::string steps[] = {
        "1. Print both pages on one sheet at 100 %, no scaling; " + turn + ".",
        "2. Scale: measure the bars at the foot and at the side. If 100 mm are off by more than "
        "0.5 mm, switch off fitting and scaling in the print dialog and print again.",
        "3. Frame: it lies " + millimeters(options.margin) +
            " from the edges. If a side of it is missing, set margin to a larger length.",
        "4. Shift: hold the sheet against the light, this side towards you. The thick cross of "
        "the back shows through. First number: where its upright line meets the scale below. "
        "Second number: where its level line meets the scale at the left. A small tick is half a "
        "millimeter.",
        "5. Write the two numbers into the job file, [sheets] back_shift = [\"0.5mm\", "
        "\"-1mm\"], or on the command line, --back-shift 0.5mm,-1mm. The next sheets have their "
        "backs moved by that much. Two zeros: nothing to do."};
    const std::size_t before = page.texts.size();
    for (const Mm letters : text_sizes) {
        page.texts.resize(before);
        Mm y = options.margin + inset + 1.6 * letters;
        page.texts.push_back(
            {shortened("Test page, front \u00b7 " + paper.name, 1.6 * letters, width), left, y,
             1.6 * letters});
        y = y + 2.6 * letters;
        for (const std::string& step : steps) {
            y = add_lines(page, step, left, y, width, letters) + 0.6 * letters;
        }
        if (y < free) break;
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

    add_steps(front, paper, options);

    SheetPage back;
    back.size = size;
    back.side = Side::back;
    const Mm cx = size.width / 2.0;
    const Mm cy = size.height / 2.0;
    const Mm across = std::min(cross_reach, cx - options.margin);
    const Mm down = std::min(cross_reach, cy - options.margin);
    back.marks.push_back({cx - across, cy, cx + across, cy, false, true});
    back.marks.push_back({cx, cy - down, cx, cy + down, false, true});
    const Mm large = 1.6 * text_sizes.front();
    back.texts.push_back(
        {"Test page, back", options.margin + inset, options.margin + inset + large, large});

    Imposition result;
    result.paper = paper;
    result.options = options;
    result.sheets = 1;
    result.pages = {std::move(front), std::move(back)};
    return result;
}

}  // namespace paleproof::sheet
