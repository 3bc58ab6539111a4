// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/guarded_text.h"

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <numeric>
#include <utility>

#include "filters/lighten.h"
#include "filters/symbols.h"
#include "filters/text_clear.h"

namespace paleproof::app {
namespace {

/// Tone value at which letters on paper have 5.7 : 1 (WCAG 2.2), over the 4.5 : 1 that small text
/// needs.
constexpr double least_ink = 0.60;
constexpr double symbol_share = 0.3;  // of the ink budget
constexpr double one_size = 0.8;      // of the largest: symbols of about its size

double area(const RectPx& box) { return static_cast<double>(box.width) * box.height; }

bool holds_symbol(const RectPx& box, std::span<const Symbol> symbols) {
    return std::ranges::any_of(symbols, [&](const Symbol& symbol) {
        return area(intersection(box, symbol.box_px)) >= 0.5 * area(symbol.box_px);
    });
}

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

/// Symbols get what `text_ink`, in pixels of solid ink, leaves of the budget, and no more than
/// their share: a budget that holds the text alone is met without them.
std::vector<filters::Letters> guarded_symbols(const StyleInput& face, double text_ink) {
    std::vector<filters::Letters> cut = filters::symbols(face.source, face.symbols);
    std::vector<double> ink;
    double all = 0.0;
    for (std::size_t i = 0; i < cut.size(); ++i) {
        cut[i].strong = (!face.symbol_guard.empty() && face.symbol_guard[i] != Guard::usual) ||
                        on_dark_field(face.symbols[i].box_px, face);
        ink.push_back(ink_of(cut[i]));
        all += ink.back();
    }
    const auto size = [&](std::size_t i) {
        return std::max(face.symbols[i].box_px.width, face.symbols[i].box_px.height);
    };
    std::vector<std::size_t> order(cut.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order,
                             [&](std::size_t a, std::size_t b) { return size(a) > size(b); });
    const double budget = face.ink_budget * area(face.trimmed);
    const double most = std::min(symbol_share * budget, budget - text_ink);
    std::size_t left_out = 0;
    while (all > most && left_out < order.size()) {
        const double largest = size(order[left_out]);
        for (; left_out < order.size() && size(order[left_out]) >= one_size * largest; ++left_out) {
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
        if (line.kind == TextLine::Kind::mark && holds_symbol(line.box_px, face.symbols)) continue;
        const Guard guard = face.guard.empty() ? Guard::usual : face.guard[i];
        const auto how = guard == Guard::local   ? filters::LetterCut::local
                         : guard == Guard::whole ? filters::LetterCut::whole
                                                 : filters::LetterCut::sure;
        auto found = filters::letters(face.source, face.text.subspan(i, 1), how);
        for (filters::Letters& cut : found) cut.strong = guard != Guard::usual;
        std::ranges::move(found, std::back_inserter(letters));
    }
    double text_ink = 0.0;
    for (const filters::Letters& cut : letters) text_ink += ink_of(cut);
    std::ranges::move(guarded_symbols(face, text_ink), std::back_inserter(letters));
    return letters;
}

GuardedText::GuardedText(const StyleInput& face)
    : size_(face.source.size()),
      letters_(guarded_letters(face)),
      halo_(filters::text_halo(size_, letters_, how_)) {}

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
