// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/line_ends.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "core/image.h"
#include "survey/text/text_finder.h"
#include "typeset.h"

using namespace paleproof;
using test::draw;
using test::plain;

// Where letters lie is known from FreeType, which draws them: typeset.h.

namespace {

constexpr const char* sans = "dejavu/DejaVuSans.ttf";
constexpr double em = 40.0;

/// A line as it is measured on black letters on white, that lies over `box`.
survey::MeasuredLine line_over(const test::FontFacts& facts, RectPx box, int base_y) {
    survey::MeasuredLine result;
    result.line.kind = TextLine::Kind::line;
    result.line.box_px = box;
    result.line.x_height_px = facts.x_height;
    result.line.cap_height_px = facts.cap_height;
    result.line.stroke_px = 0.09 * em;
    result.left = box.x;
    result.right = box.right();
    result.base_x = box.x + box.width / 2.0;
    result.base_y = base_y;
    return result;
}

void fill_disc(Image& image, double x, double y, double radius) {
    for (int v = 0; v < image.height(); ++v) {
        for (int u = 0; u < image.width(); ++u) {
            if (std::hypot(u + 0.5 - x, v + 0.5 - y) < radius)
                std::fill_n(image.row(v) + 3 * u, 3, std::uint8_t{0});
        }
    }
}

}  // namespace

TEST_CASE("words that a sign parts are one line, whichever way it runs") {
    const survey::TextFinder finder;
    for (const std::string text :
         {"TOOL \u2014 KEEP IN PLAY", "Tool \u2013 one use \u2014 dusk", "Place \u00b7 Row four",
          "EVENT \u2022 THIS NIGHT", "MOTH : KEEPER : HAWK", "Moth  \u2014  Dusk"}) {
        Image face = plain(1050, 750, {235, 228, 205});
        const auto facts = draw(
            face, {.font = sans, .text = text, .px = 30, .x = 200, .y = 400, .ink = {60, 20, 70}});
        for (int turns = 0; turns < 4; ++turns) {
            CAPTURE(text);
            CAPTURE(turns);
            const Image turned = test::turned(face, turns);
            const auto lines = finder.find(turned, turned.ppi()).lines;
            REQUIRE(lines.size() == 1);
            const RectPx& box = lines.front().box_px;
            CHECK(std::max(box.width, box.height) == doctest::Approx(facts.length).epsilon(0.03));
        }
    }
}

TEST_CASE("only signs part words: no icon, no rule, no empty gap") {
    const auto between = [](auto&& put) {
        Image face = plain(700, 200, {255, 255, 255});
        const auto first = draw(face, {.font = sans, .text = "Moth", .px = em, .x = 60, .y = 120});
        const int end = static_cast<int>(60 + first.length);
        const int next = end + 56;  // 2.5 x-heights
        const auto second =
            draw(face, {.font = sans, .text = "Event", .px = em, .x = 1.0 * next, .y = 120});
        put(face, end + 28, 120);
        return survey::signs_between(
            face, line_over(first, {60, 88, end - 60, 32}, 120),
            line_over(second, {next + 3, 88, static_cast<int>(second.length) - 3, 32}, 120));
    };
    CHECK_FALSE(between([](Image&, int, int) {}));
    CHECK(between([](Image& face, int x, int base) { fill_disc(face, x, base - 11, 4); }));
    CHECK(between([](Image& face, int x, int base) {  // a colon
        fill_disc(face, x, base - 3, 3);
        fill_disc(face, x, base - 18, 3);
    }));
    CHECK(between([](Image& face, int x, int base) {  // a dash
        for (int y = base - 12; y < base - 8; ++y)
            std::fill_n(face.row(y) + 3 * (x - 20), 3 * 40, std::uint8_t{0});
    }));
    CHECK_FALSE(between([](Image& face, int x, int base) { fill_disc(face, x, base - 12, 14); }));
    CHECK_FALSE(between([](Image& face, int x, int) {  // a rule between two columns
        for (int y = 0; y < face.height(); ++y)
            std::fill_n(face.row(y) + 3 * x, 6, std::uint8_t{0});
    }));
}

TEST_CASE("letters and signs in a line's ink that follow at its ends become part of it") {
    Image face = plain(700, 200, {255, 255, 255});
    draw(face, {.font = sans, .text = "Dew Ladder.", .px = em, .x = 100, .y = 120});
    Image ruler = plain(700, 200, {255, 255, 255});
    const double before =
        draw(ruler, {.font = sans, .text = "Dew ", .px = em, .x = 100, .y = 120}).length;
    const auto facts =
        draw(ruler, {.font = sans, .text = "Dew Ladde", .px = em, .x = 100, .y = 120});
    const double all =
        draw(ruler, {.font = sans, .text = "Dew Ladder.", .px = em, .x = 100, .y = 120}).length;
    const int from = static_cast<int>(100 + before), to = static_cast<int>(100 + facts.length);
    survey::MeasuredLine line = line_over(facts, {from, 90, to - from, 32}, 120);
    survey::complete_ends(line, face);
    // D and the full stop have side bearings of 0.1 em.
    CHECK(line.line.box_px.x == doctest::Approx(100 + 0.1 * em).epsilon(0.02));
    CHECK(line.line.box_px.right() == doctest::Approx(100 + all - 0.1 * em).epsilon(0.01));

    SUBCASE("a picture sign beside a line is none") {
        Image with_sign = plain(700, 200, {255, 255, 255});
        const auto whole =
            draw(with_sign, {.font = sans, .text = "Ladder", .px = em, .x = 100, .y = 120});
        const int end = static_cast<int>(100 + whole.length);
        fill_disc(with_sign, end + 22, 108, 14);
        survey::MeasuredLine beside = line_over(whole, {104, 90, end - 104, 32}, 120);
        survey::complete_ends(beside, with_sign);
        CHECK(beside.line.box_px.right() == end);
    }
    SUBCASE("letters of another color are another line") {
        Image two = plain(700, 200, {255, 255, 255});
        const auto whole =
            draw(two, {.font = sans, .text = "Ladder", .px = em, .x = 100, .y = 120});
        const int end = static_cast<int>(100 + whole.length);
        draw(two, {.font = sans,
                   .text = "Moth",
                   .px = em,
                   .x = end + 12.0,
                   .y = 120,
                   .ink = {230, 120, 120}});
        survey::MeasuredLine beside = line_over(whole, {104, 90, end - 104, 32}, 120);
        survey::complete_ends(beside, two);
        CHECK(beside.line.box_px.right() == end);
    }
}
