// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// One or two goldens for each filter whose result only the eye can judge. The laws of the filters
// stand in tests/unit/filters; a golden says that a change was meant.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "filters/corners.h"
#include "filters/cover.h"
#include "filters/dark_field.h"
#include "filters/edge_keep.h"
#include "filters/fit.h"
#include "filters/gray.h"
#include "filters/hatch.h"
#include "filters/letters.h"
#include "filters/lighten.h"
#include "filters/line_art.h"
#include "filters/panel_flip.h"
#include "filters/rescale.h"
#include "filters/symbols.h"
#include "filters/text_clear.h"
#include "filters/text_guard.h"
#include "filters/tint.h"
#include "filters/xdog.h"
#include "golden/golden.h"
#include "golden/small_card.h"

using namespace paleproof;
using test::golden_mismatch;

namespace {

const Image card = test::small_card();
const std::vector<TextLine> text = test::small_card_text();

Image inverted(Image ink) {
    for (std::uint8_t& code : ink.bytes()) code = static_cast<std::uint8_t>(255 - code);
    return ink;
}

filters::SolidText solid(const std::vector<filters::Letters>& letters) {
    filters::SolidText result;
    result.letters =
        filters::text_guard(Image(160, 160, Encoding::gray, Ppi{300}), letters, {.ink = 1.0});
    result.ground = filters::text_halo(card.size(), letters, {.fade = 0.0});
    const std::uint8_t* letter = result.letters.bytes().data();
    for (std::uint8_t& code : result.ground.bytes()) {
        code = std::min(*letter++, static_cast<std::uint8_t>(255 - code));
    }
    return result;
}

filters::HatchArea hatched(RgbCode color, double angle, RectPx place) {
    filters::HatchArea area;
    area.pattern.color = color;
    area.pattern.sample.lines = {{angle, Mm{0.9}, Mm{0.12}}};
    area.places = {place};
    return area;
}

}  // namespace

TEST_CASE("the card of the goldens is what its name says: two words, one on a dark panel") {
    REQUIRE(card.width() == 160);
    const auto cut = filters::letters(card, text);
    REQUIRE(cut.size() == 2);
    CHECK(filters::panel_flip(filters::text_clear(filters::gray(card), cut), text).count == 1);
}

TEST_CASE("gray") {
    CHECK(golden_mismatch("gray", "card", filters::gray(card), test::exact) == "");
}

TEST_CASE("lighten") {
    const Image gray = filters::gray(card);
    CHECK(golden_mismatch("lighten", "card--ink-budget=0.12",
                          filters::lighten(gray, {.ink_budget = 0.12}), test::rounded) == "");
    CHECK(golden_mismatch("lighten", "card--ink-budget=0.05",
                          filters::lighten(gray, {.ink_budget = 0.05}), test::rounded) == "");
}

TEST_CASE("dark_field") {
    const filters::FieldInk ink = filters::dark_field(filters::gray(card));
    CHECK(golden_mismatch("dark_field", "card--strokes", inverted(ink.strokes), test::rounded) ==
          "");
    CHECK(golden_mismatch("dark_field", "card--shades", inverted(ink.shades), test::rounded) == "");
}

TEST_CASE("panel_flip") {
    const auto letters = filters::letters(card, text);
    const filters::Panels panels =
        filters::panel_flip(filters::text_clear(filters::gray(card), letters), text);
    CHECK(golden_mismatch("panel_flip", "card--paper", inverted(panels.paper), test::rounded) ==
          "");
    CHECK(golden_mismatch("panel_flip", "card--rules", inverted(panels.rules), test::rounded) ==
          "");
}

TEST_CASE("letters, text_clear and text_guard") {
    const auto letters = filters::letters(card, text);
    REQUIRE(letters.size() == 2);
    const Image gray = filters::gray(card);
    CHECK(golden_mismatch("letters", "night", inverted(letters[0].strength), test::rounded) == "");
    CHECK(golden_mismatch("text_clear", "card", filters::text_clear(gray, letters),
                          test::rounded) == "");
    CHECK(golden_mismatch("text_guard", "card", filters::text_guard(gray, letters),
                          test::rounded) == "");
}

TEST_CASE("symbols") {
    // A red disc with a dark moon in it on the panel, cut out and set on paper.
    Image face = card;
    for (int y = 0; y < 160; ++y) {
        for (int x = 0; x < 160; ++x) {
            const auto within = [&](int cx, int cy, int r) {
                return (x - cx) * (x - cx) + (y - cy) * (y - cy) <= r * r;
            };
            RgbCode c{206, 70, 76};
            if (within(121, 121, 8) && !within(126, 118, 7)) c = {26, 18, 48};
            if (within(122, 121, 14)) std::ranges::copy(c, face.row(y) + 3 * x);
        }
    }
    const Symbol symbol{.box_px = {108, 107, 29, 29},
                        .ground_color = {34, 30, 52},
                        .figure_color = {26, 18, 48},
                        .on_field = true,
                        .field_color = {206, 70, 76}};
    const auto cut = filters::symbols(face, {&symbol, 1});
    REQUIRE(cut.size() == 1);
    CHECK(golden_mismatch("symbols", "moon-on-disc", inverted(cut[0].strength), test::rounded) ==
          "");
}

TEST_CASE("tint") {
    const Image drawing = filters::lighten(filters::gray(card), {.ink_budget = 0.08});
    CHECK(golden_mismatch("tint", "card", filters::tint(card, drawing), test::rounded) == "");
}

TEST_CASE("line_art") {
    // Crops of the upper and the lower half: 320 px a side is more than a golden may have.
    const Image lines =
        filters::line_art(card, solid(filters::letters(card, text)), {.ink_budget = 0.12});
    REQUIRE(lines.width() == 320);
    for (const auto& [name, top] : {std::pair{"card-top", 0}, std::pair{"card-foot", 160}}) {
        Image half(256, 160, Encoding::gray, Ppi{600});
        for (int y = 0; y < 160; ++y) std::copy_n(lines.row(top + y) + 40, 256, half.row(y));
        CHECK(golden_mismatch("line_art", name, half, test::drawn) == "");
    }
}

TEST_CASE("hatch") {
    const std::vector<filters::HatchArea> areas{hatched({200, 40, 48}, 90.0, {116, 58, 32, 28}),
                                                hatched({48, 96, 52}, -45.0, card.bounds())};
    const Image patterns = filters::hatch(card, areas, {}, {.ink_budget = 1.0});
    Image part(256, 160, Encoding::gray, Ppi{600});
    for (int y = 0; y < 160; ++y) std::copy_n(patterns.row(80 + y) + 60, 256, part.row(y));
    CHECK(golden_mismatch("hatch", "card--red-and-green", part, test::drawn) == "");
}

TEST_CASE("xdog") {
    CHECK(golden_mismatch("xdog", "card", filters::xdog(filters::gray(card)), test::rounded) == "");
}

TEST_CASE("edge_keep") {
    const Image gray = filters::gray(card);
    filters::Plane plane(160, 160);
    std::ranges::copy(gray.bytes(), plane.values.begin());
    const filters::Plane calm = filters::edge_keep(plane, Ppi{300});
    Image shown(160, 160, Encoding::gray, Ppi{300});
    std::ranges::transform(calm.values, shown.bytes().begin(), [](float v) {
        return static_cast<std::uint8_t>(std::lround(std::clamp(v, 0.0F, 255.0F)));
    });
    CHECK(golden_mismatch("edge_keep", "card", shown, test::rounded) == "");
}

TEST_CASE("corners, cover, fit and rescale") {
    CHECK(golden_mismatch("corners", "card--radius=30",
                          filters::corners(card, {card.bounds(), {30.0, 30.0, 30.0, 30.0}}),
                          test::exact) == "");
    const std::vector<RectPx> boxes{test::dark_line, test::art_line};
    CHECK(golden_mismatch("cover", "card", filters::cover(card, boxes), test::rounded) == "");
    CHECK(golden_mismatch("fit", "card--120x170", filters::fit(card, {120, 170}), test::rounded) ==
          "");
    CHECK(golden_mismatch("rescale", "card--70x70", filters::rescale(filters::gray(card), {70, 70}),
                          test::rounded) == "");
}
