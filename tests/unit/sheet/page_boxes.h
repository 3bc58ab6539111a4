// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Sheets to look at, and where things lie on their pages.
#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "sheet/imposition.h"
#include "sheet/stroke_font.h"

namespace paleproof::sheet {

inline constexpr SizeMm poker{{63.5}, {88.9}};

inline FaceShape shape(SizeMm trim, Mm bleed = Mm{3.0}) {
    return {trim, {bleed, bleed, bleed, bleed}};
}

inline Imposition imposed(const char* paper, const std::vector<FaceShape>& faces,
                          const std::vector<Card>& cards, const SheetOptions& options = {},
                          const SheetTexts& texts = "Night Orchard") {
    return imposition(parse_paper(paper, "papers"), faces, cards, options, texts);
}

inline const Text* text_with(const SheetPage& page, const std::string& part) {
    const auto found = std::ranges::find_if(
        page.texts, [&](const Text& text) { return text.utf8.find(part) != std::string::npos; });
    return found == page.texts.end() ? nullptr : &*found;
}

/// All that a place shows, bleed included, corners and all.
inline RectMm shown(const Place& place) {
    const RectMm& trim = place.trim;
    return {trim.x - place.bleed.left, trim.y - place.bleed.top,
            trim.width + place.bleed.left + place.bleed.right,
            trim.height + place.bleed.top + place.bleed.bottom};
}

/// With room for the tails of its letters, a share of their height.
inline RectMm box_of(const Text& text, double tails = 0.3) {
    const Mm width = text_width(text.utf8, text.cap_height);
    const Mm tail = text.cap_height * tails;
    return text.upward
               ? RectMm{text.x - text.cap_height, text.y - width, text.cap_height + tail, width}
               : RectMm{text.x, text.y - text.cap_height, width, text.cap_height + tail};
}

inline RectMm box_of(const Line& line) {
    return {std::min(line.x0, line.x1), std::min(line.y0, line.y1),
            std::max(line.x0, line.x1) - std::min(line.x0, line.x1),
            std::max(line.y0, line.y1) - std::min(line.y0, line.y1)};
}

inline bool meet(const RectMm& a, const RectMm& b) {
    constexpr Mm hair{0.005};
    return a.x + hair < b.right() && b.x + hair < a.right() && a.y + hair < b.bottom() &&
           b.y + hair < a.bottom();
}

inline void check_within(const RectMm& box, SizeMm page, Mm margin) {
    CHECK(box.x.value >= margin.value - 0.001);
    CHECK(box.y.value >= margin.value - 0.001);
    CHECK(box.right().value <= page.width.value - margin.value + 0.001);
    CHECK(box.bottom().value <= page.height.value - margin.value + 0.001);
}

}  // namespace paleproof::sheet
