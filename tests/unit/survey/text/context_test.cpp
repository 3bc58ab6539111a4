// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// What a line can only be told by with its neighbors, and what only looks like one. Sizes against
// the outlines of x and H, by FreeType.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "core/image.h"
#include "survey/text/text_finder.h"
#include "typeset.h"

using namespace paleproof;
using survey::TextFinder;
using test::draw;
using test::plain;

namespace {

std::vector<TextLine> lines_of(const Image& image) {
    static const TextFinder finder;
    return finder.find(image, image.ppi()).lines;
}

const TextLine& at(const std::vector<TextLine>& lines, int x, int y) {
    const auto found = std::find_if(lines.begin(), lines.end(), [&](const TextLine& line) {
        const RectPx& b = line.box_px;
        return b.x <= x && x < b.right() && b.y <= y && y < b.bottom();
    });
    REQUIRE(found != lines.end());
    return *found;
}

void rectangle(Image& image, int x0, int y0, int x1, int y1, std::uint8_t tone) {
    for (int y = std::max(0, y0); y < std::min(image.height(), y1); ++y) {
        for (int x = std::max(0, x0); x < std::min(image.width(), x1); ++x) {
            std::fill_n(image.row(y) + 3 * x, 3, tone);
        }
    }
}

}  // namespace

TEST_CASE("a word without rising letters is told from capitals by the lines beside it") {
    Image face = plain(760, 300, {250, 250, 240});
    test::FontFacts facts;
    for (const auto& [text, y] :
         {std::pair{"the lamp behind", 80.0}, {"none", 130.0}, {"a dark hedge", 180.0}}) {
        facts = draw(face, {.text = text, .px = 34, .x = 60, .y = y});
    }
    const auto lines = lines_of(face);
    REQUIRE(lines.size() == 3);
    const TextLine& none = at(lines, 90, 122);
    CHECK_FALSE(none.capitals_only);
    CHECK(none.x_height_px == doctest::Approx(facts.x_height).epsilon(0.05));
    CHECK(none.point_size_low <= 34 * 0.24);
    CHECK(none.point_size_high >= 34 * 0.24);
}

TEST_CASE("capitals stay capitals, below commas, over a rule and with signs among the figures") {
    Image face = plain(760, 300, {250, 250, 240});
    draw(face, {.text = "MOTH, LAMP, GATE, SEED,", .px = 34, .x = 60, .y = 80});
    const auto facts = draw(face, {.text = "HEDGE TAKES ALL THE", .px = 34, .x = 60, .y = 116});
    draw(face, {.text = "12/87", .px = 34, .x = 560, .y = 210});
    rectangle(face, 60, 130, 520, 132, 90);
    const auto lines = lines_of(face);
    CHECK(at(lines, 100, 108).capitals_only);
    CHECK(at(lines, 100, 108).cap_height_px == doctest::Approx(facts.cap_height).epsilon(0.05));
    CHECK(at(lines, 600, 200).capitals_only);
    CHECK(at(lines, 600, 200).cap_height_px == doctest::Approx(facts.cap_height).epsilon(0.06));
}

TEST_CASE("a line upside down has the sizes that it has upright") {
    Image face = plain(900, 200, {240, 240, 230});
    const auto facts =
        draw(face, {.text = "Some more lamps are near the moor", .px = 36, .x = 60, .y = 110});
    for (const int turns : {0, 2}) {
        CAPTURE(turns);
        const auto lines = lines_of(test::turned(face, turns));
        REQUIRE(lines.size() == 1);
        CHECK(lines[0].quarter_turns == turns);
        CHECK_FALSE(lines[0].capitals_only);
        CHECK(lines[0].x_height_px == doctest::Approx(facts.x_height).epsilon(0.03));
    }
}

TEST_CASE("columns whose lines stand at other heights are measured one by one") {
    Image face = plain(900, 200, {255, 255, 255});
    const auto facts = draw(face, {.text = "the path behind", .px = 34, .x = 40, .y = 100});
    draw(face, {.text = "a moth at dawn", .px = 34, .x = 400, .y = 108});
    const auto lines = lines_of(face);
    REQUIRE(lines.size() == 2);
    for (const TextLine& line : lines) {
        CHECK(line.x_height_px == doctest::Approx(facts.x_height).epsilon(0.03));
        CHECK(std::abs(line.slant_deg) < 0.5);
    }
}

TEST_CASE("grain does not make letters taller") {
    Image face = plain(900, 200, {235, 245, 225});
    const auto facts = draw(face, {.text = "Two hedges choose every path",
                                   .px = 34,
                                   .x = 40,
                                   .y = 100,
                                   .ink = {190, 190, 190}});
    std::mt19937 random(3);
    std::normal_distribution<double> grain(0.0, 5.0);
    for (int y = 0; y < face.height(); ++y) {
        for (int x = 0; x < face.width(); ++x) {
            const double off = grain(random);
            for (int c = 0; c < 3; ++c) {
                std::uint8_t& code = face.row(y)[3 * x + c];
                code = static_cast<std::uint8_t>(std::clamp(code + off, 0.0, 255.0));
            }
        }
    }
    const auto lines = lines_of(face);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].x_height_px == doctest::Approx(facts.x_height).epsilon(0.10));
}

TEST_CASE("words that come twice and figures that are alike are no icons") {
    for (const char* text : {"go go", "No no", "22", "none", "Ashes, ashes"}) {
        for (const double px : {24.0, 34.0, 60.0}) {
            CAPTURE(text);
            CAPTURE(px);
            Image face = plain(760, 300, {250, 250, 240});
            const auto facts = draw(face, {.text = text, .px = px, .x = 60, .y = 150});
            const auto lines = lines_of(face);
            REQUIRE(lines.size() == 1);
            CHECK(lines[0].box_px.width == doctest::Approx(facts.length).epsilon(0.2));
        }
    }
}

TEST_CASE("pictures side by side are no line, though their parts are as tall as letters") {
    Image face = plain(760, 300, {250, 250, 240});
    draw(face, {.text = "Two lamps for one moth", .px = 34, .x = 60, .y = 80});
    for (int i = 0; i < 3; ++i) {
        const int x = 80 + 40 * i, y = 180;
        rectangle(face, x, y, x + 34, y + 30, 200);
        rectangle(face, x + 2, y + 3, x + 8, y + 28, 20);
        rectangle(face, x + 14, y + 3, x + 19, y + 28, 20);
        rectangle(face, x + 22, y + 3, x + 31, y + 9, 120);
        rectangle(face, x + 25, y + 12, x + 30, y + 28, 20);
    }
    const auto lines = lines_of(face);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].box_px.y < 100);
}

TEST_CASE("an icon among thin words does not give them its color") {
    Image face = plain(900, 200, {244, 200, 235});
    draw(face, {.font = "liberation2/LiberationSerif-Regular.ttf",
                .text = "gain one lamp or one moth",
                .px = 26,
                .x = 40,
                .y = 100,
                .ink = {160, 70, 220}});
    rectangle(face, 345, 84, 361, 100, 0);
    const auto lines = lines_of(face);
    REQUIRE(!lines.empty());
    // #A046DC on #F4C8EB, by the formulas of WCAG 2.2; hairlines show a little less.
    CHECK(lines[0].contrast > 2.2);
    CHECK(lines[0].contrast < 3.5);
}

TEST_CASE("borders, chains and rows of signs are no lines") {
    Image keys = plain(750, 1050, {246, 196, 214});
    for (int row = 0; row < 6; ++row) {
        const int s = 26 + 8 * row, y = 40 + 160 * row;
        for (int x = 30; x + 2 * s < 720; x += 3 * s / 2) {
            rectangle(keys, x, y, x + s / 6, y + s, 60);
            rectangle(keys, x, y, x + s / 2, y + s / 6, 60);
            rectangle(keys, x + s / 2 - s / 6, y, x + s / 2, y + s, 60);
            rectangle(keys, x + s / 2, y + s - s / 6, x + s, y + s, 60);
        }
    }
    CHECK(lines_of(keys).empty());
    Image rings = plain(750, 1050, {200, 250, 140});
    for (int row = 0; row < 6; ++row) {
        const double r = 14 + 5 * row, y = 60 + 160 * row;
        for (double cx = 60; cx + r < 700; cx += 2.1 * r) {
            for (int v = static_cast<int>(y - r); v <= y + r; ++v) {
                for (int u = static_cast<int>(cx - r); u <= cx + r; ++u) {
                    const double d = std::hypot(u - cx, v - y);
                    if (d < r && d > 0.75 * r)
                        std::fill_n(rings.row(v) + 3 * u, 3, std::uint8_t{20});
                }
            }
        }
    }
    // Rings that touch are an "ooo" to any eye; a band that ends within one may stay.
    CHECK(lines_of(rings).size() <= 1);
}
