// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/mark_symbols.h"

#include <algorithm>

namespace paleproof::app {
namespace {

constexpr double all_along = 0.85;  // of the mark's length: rims of boxes are off by a pixel or two

double area(const RectPx& box) { return static_cast<double>(box.width) * box.height; }

}  // namespace

bool holds(const TextLine& mark, const Symbol& symbol) {
    return area(intersection(mark.box_px, symbol.box_px)) >= 0.5 * area(symbol.box_px);
}

bool made_of_symbols(const TextLine& mark, std::span<const Symbol> symbols) {
    if (mark.kind != TextLine::Kind::mark) return false;
    const bool turned = mark.quarter_turns % 2 != 0;
    int from = 1 << 30;
    int to = 0;
    for (const Symbol& symbol : symbols) {
        if (!holds(mark, symbol)) continue;
        const RectPx both = intersection(mark.box_px, symbol.box_px);
        from = std::min(from, turned ? both.y : both.x);
        to = std::max(to, turned ? both.bottom() : both.right());
    }
    const int length = turned ? mark.box_px.height : mark.box_px.width;
    return to - from >= all_along * length && to > from;
}

}  // namespace paleproof::app
