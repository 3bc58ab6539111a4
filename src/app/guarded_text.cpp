// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/guarded_text.h"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <iterator>
#include <numeric>
#include <utility>

#include "app/mark_symbols.h"
#include "filters/lighten.h"
#include "filters/symbols.h"
#include "filters/text_clear.h"

namespace paleproof::app {
namespace {

/// Tone value at which letters on paper have 5.7 : 1 (WCAG 2.2), over the 4.5 : 1 that small text
/// needs.
constexpr double least_ink = 0.60;
constexpr double symbol_share = 0.3;    // of the ink budget
constexpr double symbol_rest = 0.5;     // of what the text leaves of it, when that is more
constexpr double one_size = 0.8;        // of the largest: symbols of about its size
constexpr int core = 128;               // strength of the inside of a letter
constexpr double set_share = 0.6;       // of a symbol: letters are cut finer than symbols
constexpr double all_over = 0.7;        // of its width and height
constexpr double letters_share = 0.25;  // of an outlined word: the letters within their outlines

double area(const RectPx& box) { return static_cast<double>(box.width) * box.height; }

/// Whether a symbol stands on a field whose tone the proof keeps and beside which black has less
/// than 3 : 1 (WCAG 2.2).
bool on_dark_field(const RectPx& box, const StyleInput& face) {
    constexpr std::uint8_t darkest =
        98;  // its luminance 0.122 has 3 : 1 to that of code 20, our ink
    constexpr int rim = 4;
    if (face.gray == nullptr || std::ranges::none_of(face.codes, [&](const CodeArea& code) {
            return intersection(code.box_px, box) == box;
        }))
        return false;
    const RectPx around = intersection(
        {box.x - rim, box.y - rim, box.width + 2 * rim, box.height + 2 * rim}, face.gray->bounds());
    int dark = 0;
    int all = 0;
    for (int y = around.y; y < around.bottom(); ++y) {
        for (int x = around.x; x < around.right(); ++x) {
            if (y >= box.y && y < box.bottom() && x >= box.x && x < box.right()) continue;
            dark += face.gray->row(y)[x] < darkest ? 1 : 0;
            ++all;
        }
    }
    return 2 * dark > all;
}

double ink_of(const filters::Letters& cut) {
    const auto bytes = cut.strength.bytes();
    return std::accumulate(bytes.begin(), bytes.end(), 0.0) / 255.0;
}

bool near(const RgbCode& a, const RgbCode& b) {
    constexpr int codes = 60;  // of each channel: thin strokes are diluted
    for (std::size_t c = 0; c < a.size(); ++c) {
        if (std::abs(a[c] - b[c]) > codes) return false;
    }
    return true;
}

/// How a symbol stands to the lines of text.
enum class InText {
    no,
    apart,  ///< within a line, in colors of its own
    alike   ///< within a line, in the colors of its letters
};

InText in_text(const Symbol& symbol, std::span<const TextLine> text) {
    InText result = InText::no;
    for (const TextLine& line : text) {
        if (line.kind != TextLine::Kind::line ||
            area(intersection(symbol.box_px, line.box_px)) < 0.8 * area(symbol.box_px))
            continue;
        result = InText::apart;
        if (near(symbol.figure_color, line.text_color) &&
            near(symbol.on_field ? symbol.field_color : symbol.ground_color, line.ground_color))
            return InText::alike;
    }
    return result;
}

/// Whether a symbol is letters that were cut out already: a word whose letters hang together, or
/// stand in one outline, may count as both, and would be set twice, heavier than the words beside
/// it. That is so when most of its figure is set, or, in text, letters stand all over it; in colors
/// of its own these must be a good part of it, or scraps of an icon would do.
bool is_set(const filters::Letters& cut, InText where, std::span<const filters::Letters> letters) {
    int of_symbol = 0;
    int both = 0;
    int left = cut.part.width;
    int top = cut.part.height;
    int right = 0;
    int bottom = 0;
    for (int y = 0; y < cut.part.height; ++y) {
        const std::uint8_t* in = cut.strength.row(y);
        for (int x = 0; x < cut.part.width; ++x) {
            const int at_x = cut.part.x + x;
            const int at_y = cut.part.y + y;
            const bool set = std::ranges::any_of(letters, [&](const filters::Letters& line) {
                const RectPx& p = line.part;
                return at_x >= p.x && at_x < p.right() && at_y >= p.y && at_y < p.bottom() &&
                       line.strength.row(at_y - p.y)[at_x - p.x] >= core;
            });
            if (in[x] >= core) ++of_symbol;
            if (!set) continue;
            if (in[x] >= core) ++both;
            left = std::min(left, x);
            top = std::min(top, y);
            right = std::max(right, x + 1);
            bottom = std::max(bottom, y + 1);
        }
    }
    const bool over =
        right - left >= all_over * cut.part.width && bottom - top >= all_over * cut.part.height;
    if (where == InText::alike && over) return true;
    if (where == InText::apart && over && both >= letters_share * of_symbol) return true;
    return both >= set_share * of_symbol;
}

/// Whether a symbol is a number or a letter: a mark, which is text and never left out.
bool is_of_mark(const Symbol& symbol, std::span<const TextLine> text) {
    return std::ranges::any_of(text, [&](const TextLine& line) {
        return line.kind == TextLine::Kind::mark && holds(line, symbol);
    });
}

/// Symbols get what the text leaves of the budget, and no more than their share: a budget that
/// holds the text alone is met without them.
std::vector<filters::Letters> guarded_symbols(const StyleInput& face,
                                              std::span<const filters::Letters> letters) {
    std::vector<filters::Letters> cut = filters::symbols(face.source, face.symbols);
    double text_ink = 0.0;
    for (const filters::Letters& line : letters) text_ink += ink_of(line);
    std::vector<double> ink;
    std::vector<std::size_t> order;
    double all = 0.0;
    for (std::size_t i = 0; i < cut.size(); ++i) {
        const bool lost = !face.symbol_guard.empty() && face.symbol_guard[i] != Guard::usual;
        cut[i].strong = lost || on_dark_field(face.symbols[i].box_px, face);
        const InText where = in_text(face.symbols[i], face.text);
        const bool set = (where == InText::alike || !lost) && is_set(cut[i], where, letters);
        if (set) cut[i].part = {};
        ink.push_back(set ? 0.0 : ink_of(cut[i]));
        if (is_of_mark(face.symbols[i], face.text)) {
            text_ink += ink.back();
        } else {
            all += ink.back();
            order.push_back(i);
        }
    }
    const auto size = [&](std::size_t i) {
        return std::max(face.symbols[i].box_px.width, face.symbols[i].box_px.height);
    };
    // A figure on a field is a number more often than not, and takes less ink than a solid sign of
    // its size: these go first.
    const auto solid = [&](std::size_t i) { return !face.symbols[i].on_field; };
    std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) {
        return std::pair(solid(a), size(a)) > std::pair(solid(b), size(b));
    });
    const double budget = face.ink_budget * area(face.trimmed);
    const double rest = budget - text_ink;
    const double most = std::min(std::max(symbol_share * budget, symbol_rest * rest), rest);
    std::size_t left_out = 0;
    while (all > most && left_out < order.size()) {
        const double largest = size(order[left_out]);
        const bool of_solid = solid(order[left_out]);
        for (; left_out < order.size() && solid(order[left_out]) == of_solid &&
               size(order[left_out]) >= one_size * largest;
             ++left_out) {
            all -= ink[order[left_out]];
            cut[order[left_out]].part = {};
        }
    }
    std::erase_if(cut, [](const filters::Letters& symbol) { return symbol.part.empty(); });
    return cut;
}

}  // namespace

std::vector<filters::Letters> guarded_letters(const StyleInput& face) {
    std::vector<filters::Letters> letters;
    for (std::size_t i = 0; i < face.text.size(); ++i) {
        const TextLine& line = face.text[i];
        if (made_of_symbols(line, face.symbols)) continue;
        const Guard guard = face.guard.empty() ? Guard::usual : face.guard[i];
        const auto how = guard == Guard::local   ? filters::LetterCut::local
                         : guard == Guard::whole ? filters::LetterCut::whole
                                                 : filters::LetterCut::sure;
        auto found = filters::letters(face.source, face.text.subspan(i, 1), how);
        for (filters::Letters& cut : found) {
            cut.halo_px = filters::halo_x_height(face.source, cut);
            cut.strong = guard != Guard::usual;
        }
        std::ranges::move(found, std::back_inserter(letters));
    }
    std::ranges::move(guarded_symbols(face, letters), std::back_inserter(letters));
    return letters;
}

GuardedText::GuardedText(const StyleInput& face)
    : size_(face.source.size()), letters_(guarded_letters(face)) {
    for (filters::Letters& cut : letters_) {
        if (cut.field.empty() && !cut.strong && filters::on_even_light(face.source, cut))
            cut.halo_px = 0.0;
    }
    halo_ = filters::text_halo(size_, letters_, how_);
}

double GuardedText::fit(double budget, RectPx trimmed) {
    const Image paper(size_.width, size_.height, Encoding::gray);
    const auto taken = [&] {
        return filters::coverage(filters::letters_on(paper, letters_, how_), trimmed);
    };
    const double ink = taken();
    if (ink <= budget) return ink;
    how_.ink = std::max(least_ink, how_.ink * budget / ink);
    return taken();
}

Image GuardedText::cleared(const Image& gray) const { return filters::text_clear(gray, letters_); }

Image GuardedText::set_on(const Image& proof) const {
    return filters::text_guard(proof, letters_, halo_, how_);
}

}  // namespace paleproof::app
