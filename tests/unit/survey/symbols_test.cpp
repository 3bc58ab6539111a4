// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/symbols.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>

#include "support/fill.h"
#include "survey/symbol_parts.h"

using namespace paleproof;
using test::fill;

namespace {

constexpr Ppi ppi{300};
constexpr RgbCode parchment{238, 224, 190};
constexpr RgbCode night{24, 20, 48};
constexpr RgbCode red{206, 70, 76};
constexpr RgbCode gold{250, 188, 78};

void disc(Image& face, int cx, int cy, int radius, RgbCode color) {
    for (int y = cy - radius; y <= cy + radius; ++y) {
        for (int x = cx - radius; x <= cx + radius; ++x) {
            if ((x - cx) * (x - cx) + (y - cy) * (y - cy) <= radius * radius)
                std::ranges::copy(color, face.row(y) + 3 * x);
        }
    }
}

/// A line of text with a gap in which an icon may stand; its letters are bars.
TextLine draw_line(Image& face, RgbCode color) {
    TextLine line;
    line.box_px = {40, 200, 400, 34};
    line.confidence = 0.9;
    line.x_height_px = 20.0;
    line.cap_height_px = 28.0;
    line.stroke_px = 4.0;
    line.text_color = color;
    for (int x = 40; x < 436; x += 12) {
        if (x < 200 || x > 250) fill(face, {x, 206, 4, 28}, color);
    }
    return line;
}

Image page() {
    Image face(600, 400, Encoding::srgb, ppi);
    fill(face, face.bounds(), parchment);
    return face;
}

std::vector<Symbol> found(const Image& face, const TextLine& line) {
    return survey::symbols(face, survey::small_view(face, face.bounds(), ppi), ppi, {&line, 1});
}

bool near(RectPx a, RectPx b) {
    return std::abs(a.x - b.x) <= 3 && std::abs(a.y - b.y) <= 3 &&
           std::abs(a.right() - b.right()) <= 3 && std::abs(a.bottom() - b.bottom()) <= 3;
}

}  // namespace

TEST_CASE("an icon within a line is found with its field and figure; letters are no symbols") {
    Image face = page();
    const TextLine line = draw_line(face, night);
    disc(face, 226, 218, 16, red);
    disc(face, 226, 218, 7, night);
    const auto symbols = found(face, line);
    REQUIRE(symbols.size() == 1);
    CHECK(near(symbols[0].box_px, {210, 202, 33, 33}));
    CHECK(symbols[0].on_field);
    CHECK(symbols[0].figure_color == night);
    CHECK(symbols[0].field_color == red);
    CHECK(symbols[0].ground_color == parchment);
    CHECK(symbols[0].contrast > 2.0);
}

TEST_CASE("a letter on a disc within a ring of its color is a figure on a field, faint ones too") {
    constexpr RgbCode bar{60, 20, 20};
    constexpr RgbCode white{255, 255, 255};
    for (const RgbCode& field : {red, RgbCode{60, 120, 220}, RgbCode{230, 190, 60}}) {
        CAPTURE(int{field[2]});
        Image face = page();
        const TextLine line = draw_line(face, night);
        fill(face, {300, 280, 280, 80}, bar);
        disc(face, 340, 320, 25, white);
        disc(face, 340, 320, 22, field);
        fill(face, {331, 307, 6, 26}, white);  // an L
        fill(face, {331, 327, 18, 6}, white);
        const auto symbols = found(face, line);
        REQUIRE(symbols.size() == 1);
        CHECK(near(symbols[0].box_px, {315, 295, 51, 51}));
        CHECK(symbols[0].on_field);
        CHECK(symbols[0].field_color == field);
        CHECK(symbols[0].contrast > 1.4);
    }
}

TEST_CASE(
    "on a disc with a dark edge the number is the figure, or a hole where it has the ground's "
    "color") {
    constexpr RgbCode black{20, 20, 20};
    constexpr RgbCode gray{120, 120, 120};
    const auto with_number = [&](RgbCode number) {
        Image face = page();
        const TextLine line = draw_line(face, night);
        disc(face, 340, 320, 25, black);
        disc(face, 340, 320, 22, gray);
        fill(face, {331, 307, 6, 26}, number);
        fill(face, {331, 327, 18, 6}, number);
        const auto symbols = found(face, line);
        REQUIRE(symbols.size() == 1);
        CHECK(near(symbols[0].box_px, {315, 295, 51, 51}));
        return symbols[0];
    };
    const Symbol of_its_own = with_number(gold);
    CHECK(of_its_own.on_field);
    CHECK(of_its_own.figure_color == gold);
    CHECK(of_its_own.field_color == gray);
    // The disc is set with the number left open: ink where the face differs from its ground.
    const Symbol as_the_ground = with_number(parchment);
    CHECK(!as_the_ground.on_field);
    CHECK(as_the_ground.figure_color == black);
}

TEST_CASE(
    "a thin sign on a light badge is a figure on a field, whatever its color; a letter is none") {
    const auto on_night = [](RgbCode badge, RgbCode sign, int pips) {
        Image face = page();
        fill(face, {100, 40, 140, 100}, night);
        fill(face, {130, 60, 60, 60}, badge);
        if (pips == 0) {  // a 1 with a foot, 4 % of the badge
            fill(face, {158, 76, 4, 28}, sign);
            fill(face, {152, 104, 16, 4}, sign);
        }
        for (int i = 0; i < pips; ++i) disc(face, 144 + 32 * (i % 2), 74 + 32 * (i / 2), 5, sign);
        return survey::symbol_at(face, {130, 60, 60, 60}, night);
    };
    for (const int pips : {0, 2, 4}) {
        CAPTURE(pips);
        for (const RgbCode sign : {night, RgbCode{60, 30, 10}}) {
            const auto symbol = on_night({240, 236, 220}, sign, pips);
            REQUIRE(symbol);
            CHECK(symbol->on_field);
            CHECK(symbol->field_color == RgbCode{240, 236, 220});
            CHECK(symbol->figure_color == sign);
        }
    }
    const auto white_on_red = on_night(red, {255, 255, 255}, 0);
    REQUIRE(white_on_red);
    CHECK(white_on_red->on_field);
    CHECK(white_on_red->figure_color == RgbCode{255, 255, 255});
    Image face = page();
    // A moon with a dark rim of 2 px on one side is one sign, as the full one beside it is.
    fill(face, {100, 40, 140, 100}, night);
    disc(face, 160, 90, 26, gold);
    disc(face, 160, 90, 24, night);
    disc(face, 166, 90, 18, gold);
    const auto moon = survey::symbol_at(face, {134, 64, 53, 53}, night);
    REQUIRE(moon);
    CHECK_FALSE(moon->on_field);
    // A bold 0 has one hole, as broad as its strokes.
    fill(face, {100, 40, 140, 100}, night);
    disc(face, 160, 90, 24, gold);
    disc(face, 160, 90, 12, night);
    const auto zero = survey::symbol_at(face, {136, 66, 49, 49}, night);
    REQUIRE(zero);
    CHECK_FALSE(zero->on_field);
}

TEST_CASE("a number that is a mark on a badge makes the badge its field") {
    Image face = page();
    const TextLine line = draw_line(face, {40, 30, 30});
    fill(face, {240, 40, 140, 100}, night);
    disc(face, 310, 90, 26, gold);
    fill(face, {300, 78, 20, 24}, night);  // too broad for a sign
    TextLine mark;
    mark.kind = TextLine::Kind::mark;
    mark.confidence = 0.9;
    mark.box_px = {300, 78, 20, 24};
    mark.text_color = night;
    mark.ground_color = gold;
    mark.contrast = 9.0;
    const std::vector<TextLine> text{line, mark};
    const auto symbols =
        survey::symbols(face, survey::small_view(face, face.bounds(), ppi), ppi, text);
    REQUIRE(symbols.size() == 1);
    CHECK(symbols[0].on_field);
    CHECK(symbols[0].figure_color == night);
    CHECK(std::abs(symbols[0].field_color[0] - gold[0]) <= 2);
}

TEST_CASE("a word in a line whose letters hang together is no symbol") {
    Image face = page();
    const TextLine line = draw_line(face, night);
    fill(face, {204, 200, 76, 34}, night);  // an outlined word, its letters within
    for (int x = 210; x < 274; x += 16) fill(face, {x, 206, 8, 22}, parchment);
    CHECK(found(face, line).empty());
}

TEST_CASE("a number on a pennant is found, the pennant is its ground") {
    Image face = page();
    const TextLine line = draw_line(face, night);
    fill(face, {480, 20, 90, 160}, gold);
    fill(face, {515, 60, 8, 50}, night);  // a figure one with a foot
    fill(face, {507, 104, 24, 8}, night);
    const auto symbols = found(face, line);
    REQUIRE(symbols.size() == 1);
    CHECK(near(symbols[0].box_px, {507, 60, 24, 52}));
    CHECK_FALSE(symbols[0].on_field);
    CHECK(symbols[0].ground_color == gold);
}

TEST_CASE("the holes of a number that is a mark are no symbols") {
    // An 8 of two rings of 26 and 30 px, 7 px thick.
    Image face = page();
    const TextLine line = draw_line(face, {40, 30, 30});
    disc(face, 300, 80, 26, red);
    disc(face, 300, 128, 30, red);
    disc(face, 300, 80, 19, parchment);
    disc(face, 300, 128, 23, parchment);
    TextLine mark;
    mark.kind = TextLine::Kind::mark;
    mark.confidence = 0.9;
    mark.box_px = {270, 54, 61, 105};
    mark.text_color = red;
    mark.ground_color = parchment;
    const auto symbols = [&](const TextLine& number) {
        const std::vector<TextLine> text{line, number};
        return survey::symbols(face, survey::small_view(face, face.bounds(), ppi), ppi, text);
    };
    const auto is_hole = [](const Symbol& symbol) { return symbol.box_px.height < 60; };
    CHECK(std::ranges::none_of(symbols(mark), is_hole));
    // What stands on a badge in a color of its own is a sign.
    std::swap(mark.text_color, mark.ground_color);
    CHECK(std::ranges::count_if(symbols(mark), is_hole) == 2);
}

TEST_CASE("a single sign at the end of a heading's row is found, however far away") {
    // A panel that grows darker downward: one ground, but no even one.
    const auto sign_beside = [](bool on_one_ground) {
        Image face = page();
        for (int y = 0; y < face.height(); ++y) {
            const auto less = static_cast<std::uint8_t>(y / 8);
            const auto shade = [less](std::uint8_t v) {
                return static_cast<std::uint8_t>(v - less);
            };
            fill(face, {0, y, face.width(), 1},
                 {shade(parchment[0]), shade(parchment[1]), shade(parchment[2])});
        }
        const TextLine line = draw_line(face, night);
        if (!on_one_ground) fill(face, {470, 0, 40, 400}, red);
        disc(face, 560, 218, 15, night);
        disc(face, 566, 214, 8, gold);
        return found(face, line);
    };
    const auto symbols = sign_beside(true);
    REQUIRE(symbols.size() == 1);
    CHECK(near(symbols[0].box_px, {545, 203, 31, 31}));
    CHECK(sign_beside(false).empty());
}

TEST_CASE("a face without text has no symbols, nor have large drawings, rules and specks") {
    Image face = page();
    disc(face, 300, 80, 14, night);
    CHECK(found(face, TextLine{}).empty());
    const TextLine line = draw_line(face, night);
    CHECK(found(face, line).size() == 1);
    Image other = page();
    const TextLine same = draw_line(other, night);
    disc(other, 300, 100, 60, night);       // 10 mm
    fill(other, {40, 300, 300, 4}, night);  // a rule
    disc(other, 500, 300, 3, night);        // half a millimeter
    CHECK(found(other, same).empty());
}

TEST_CASE("a symbol in a proof is measured where it stands, whichever side is dark") {
    Image face = page();
    const TextLine line = draw_line(face, night);
    disc(face, 226, 218, 16, red);
    disc(face, 226, 218, 7, night);
    const auto symbols = found(face, line);
    REQUIRE(symbols.size() == 1);
    Image proof(600, 400, Encoding::gray, ppi);
    const auto drawn = [&](std::uint8_t figure, std::uint8_t around) {
        std::ranges::fill(proof.bytes(), around);
        for (int y = 211; y <= 225; ++y) {
            for (int x = 219; x <= 233; ++x) {
                if ((x - 226) * (x - 226) + (y - 218) * (y - 218) <= 49) proof.row(y)[x] = figure;
            }
        }
        return survey::symbol_in_proof(face, proof, symbols[0]).value();
    };
    // WCAG 2.2: black on white has 21 : 1.
    CHECK(drawn(0, 255).contrast == doctest::Approx(21.0));
    CHECK(drawn(0, 255).found == 1.0);
    CHECK(drawn(255, 0).contrast == doctest::Approx(21.0));
    CHECK(drawn(200, 200).contrast == 1.0);
    // Half of the figure is gone.
    (void)drawn(0, 255);
    for (int y = 211; y < 218; ++y) std::fill_n(proof.row(y) + 219, 15, std::uint8_t{255});
    CHECK(survey::symbol_in_proof(face, proof, symbols[0])->found < 0.6);
}

TEST_CASE("a number in the color of the ground around its badge is measured within the badge") {
    Image face = page();
    fill(face, {100, 40, 140, 100}, night);
    disc(face, 160, 90, 26, gold);
    fill(face, {158, 76, 4, 28}, night);
    fill(face, {152, 104, 16, 4}, night);
    const auto symbol = survey::symbol_at(face, {134, 64, 53, 53}, night);
    REQUIRE(symbol);
    REQUIRE(symbol->on_field);
    Image proof(600, 400, Encoding::gray, ppi);
    std::ranges::fill(proof.bytes(), std::uint8_t{255});
    for (int y = 76; y < 104; ++y) std::fill_n(proof.row(y) + 158, 4, std::uint8_t{0});
    for (int y = 104; y < 108; ++y) std::fill_n(proof.row(y) + 152, 16, std::uint8_t{0});
    CHECK(survey::symbol_in_proof(face, proof, *symbol)->contrast == doctest::Approx(21.0));
}
