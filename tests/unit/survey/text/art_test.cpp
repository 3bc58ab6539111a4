// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <random>
#include <string>
#include <vector>

#include "core/image.h"
#include "survey/text/merge.h"
#include "survey/text/text_finder.h"
#include "typeset.h"

using namespace paleproof;
using test::draw;
using test::plain;

// Where letters lie is known from FreeType, which draws them: typeset.h.

namespace {

std::vector<TextLine> found(const Image& image) {
    static const survey::TextFinder finder;
    return finder.find(image, image.ppi()).lines;
}

void fill(Image& image, RectPx box, RgbCode color) {
    for (int y = box.y; y < box.bottom(); ++y) {
        for (int x = box.x; x < box.right(); ++x)
            std::copy_n(color.begin(), 3, image.row(y) + 3 * x);
    }
}

/// Share of the columns from `left` on, `length` of them, over which a line lies in row `y`.
double covered(const std::vector<TextLine>& lines, double left, double length, int y) {
    int hits = 0, all = 0;
    for (int x = static_cast<int>(left); x < left + length; ++x, ++all) {
        hits += std::any_of(lines.begin(), lines.end(), [&](const TextLine& line) {
            const RectPx& box = line.box_px;
            return x >= box.x && x < box.right() && y >= box.y && y < box.bottom();
        });
    }
    return static_cast<double>(hits) / all;
}

}  // namespace

namespace {

/// Leaves in many greens on a dark ground, as far as the box reaches; always the same ones.
void fill_with_leaves(Image& face, RectPx box) {
    std::mt19937 random(5);
    const auto up_to = [&](int most) {
        return static_cast<int>(random() % static_cast<unsigned>(most));
    };
    fill(face, box, {30, 44, 38});
    for (int i = 0; i < box.width * box.height / 420; ++i) {
        const int cx = box.x + up_to(box.width), cy = box.y + up_to(box.height);
        const double angle = up_to(314) / 100.0;
        const int light = up_to(90);
        const RgbCode color{static_cast<std::uint8_t>(20 + light),
                            static_cast<std::uint8_t>(110 + light),
                            static_cast<std::uint8_t>(50 + up_to(60))};
        for (int y = std::max(box.y, cy - 18); y < std::min(box.bottom(), cy + 18); ++y) {
            for (int x = std::max(box.x, cx - 18); x < std::min(box.right(), cx + 18); ++x) {
                const double a = (x - cx) * std::cos(angle) + (y - cy) * std::sin(angle);
                const double b = (y - cy) * std::cos(angle) - (x - cx) * std::sin(angle);
                if (a * a / 289.0 + b * b / 49.0 <= 1.0)
                    std::copy_n(color.begin(), 3, face.row(y) + 3 * x);
            }
        }
    }
}

}  // namespace

TEST_CASE("large letters over leaves have their own color and size, not those of the leaves") {
    constexpr RgbCode ink{240, 244, 240};
    for (const std::string text : {"OLD HEDGE", "Quiet Lantern", "MOTH HOUR"}) {
        CAPTURE(text);
        Image face = plain(750, 520, {30, 44, 38});
        fill_with_leaves(face, face.bounds());
        const auto facts = draw(face, {.text = text, .px = 80, .x = 90, .y = 300, .ink = ink});
        const auto lines = found(face);
        const auto at = std::find_if(lines.begin(), lines.end(), [](const TextLine& line) {
            return line.box_px.y < 280 && line.box_px.bottom() > 280;
        });
        REQUIRE(at != lines.end());
        CHECK(covered(lines, 90, facts.length, 280) > 0.95);
        for (std::size_t c = 0; c < 3; ++c) CHECK(std::abs(at->text_color[c] - ink[c]) <= 3);
        CHECK(at->box_px.height < 1.3 * 80);
        CHECK(at->cap_height_px == doctest::Approx(facts.cap_height).epsilon(0.06));
    }
}

TEST_CASE("letters that hang together with dark art are part of the line") {
    const char* fonts[] = {"dejavu/DejaVuSans-Bold.ttf", "liberation2/LiberationSerif-Bold.ttf",
                           "liberation2/LiberationSans-Regular.ttf"};
    for (const char* font : fonts) {
        for (const int first : {2, 4, 6}) {
            CAPTURE(font);
            CAPTURE(first);
            Image face = plain(750, 300, {150, 205, 210});
            // Bars as dark as the letters, over a part of the line, as the strings of a neck.
            for (int i = 0; i < 5; ++i) {
                fill(face, {100 + 50 * first + 34 * i, 0, 8, 300}, {25, 25, 30});
            }
            const auto facts =
                draw(face, {.font = font, .text = "The Night Market", .px = 64, .x = 90, .y = 170});
            CHECK(covered(found(face), 90, facts.length, 155) > 0.9);
        }
    }
}

TEST_CASE("a letter at the end of a line that touches a vine is part of the line") {
    for (const char* font : {"liberation2/LiberationSerif-Regular.ttf", "dejavu/DejaVuSerif.ttf"}) {
        for (const bool first : {true, false}) {
            CAPTURE(font);
            CAPTURE(first);
            Image face = plain(750, 400, {35, 35, 70});
            const RgbCode light{235, 230, 210};
            const auto facts = draw(
                face,
                {.font = font, .text = "Harvest Moon", .px = 56, .x = 200, .y = 160, .ink = light});
            // A vine of the letters' color, from the foot of the letter out and down.
            const double from = first ? 206 : 200 + facts.length - 8;
            for (int i = 0; i < 70; ++i) {
                const int x = static_cast<int>(first ? from - i : from + i);
                fill(face, {x, 156 + i, 4, 4}, light);
            }
            const double at = first ? 202 : 200 + facts.length - 22;
            CHECK(covered(found(face), at, 20, 150) > 0.9);
        }
    }
}

TEST_CASE("a glyph of a count that touches the frame beside it is part of the count") {
    constexpr RgbCode ink{40, 30, 20};
    for (const std::string text : {"2x", "3x", "5x", "4x"}) {
        Image face = plain(750, 1050, {244, 236, 214});
        const auto facts = draw(face, {.font = "dejavu/DejaVuSans-Bold.ttf",
                                       .text = text,
                                       .px = 40,
                                       .x = 640,
                                       .y = 500,
                                       .ink = ink});
        const int rule = 640 + static_cast<int>(facts.length) - 3;
        fill(face, {rule, 38, 6, 974}, {90, 60, 40});
        draw(face,
             {.text = "Carry the lantern one row on.", .px = 30, .x = 90, .y = 700, .ink = ink});
        CAPTURE(text);
        CHECK(covered(found(face), 642, rule - 645, 490) > 0.95);
    }
}

TEST_CASE("a figure on a pennant before a dark ground is a mark, and nothing but the figure") {
    for (const char* font : {"liberation2/LiberationSerif-Regular.ttf", "dejavu/DejaVuSans.ttf"}) {
        for (const char* figure : {"1", "2", "3", "4", "5"}) {
            CAPTURE(font);
            CAPTURE(figure);
            Image face = plain(750, 1050, {28, 26, 48});
            const RgbCode cloth{246, 186, 72}, ink{26, 18, 44};
            fill(face, {48, 0, 112, 180}, cloth);
            for (int i = 0; i < 36; ++i) fill(face, {48 + i, 180 + i / 2, 112 - 2 * i, 1}, cloth);
            fill(face, {70, 60, 68, 44}, ink);  // a sign above it, with its foot
            fill(face, {84, 108, 40, 6}, ink);
            const auto facts =
                draw(face, {.font = font, .text = figure, .px = 62, .x = 88, .y = 166, .ink = ink});
            const auto lines = found(face);
            const auto mark = std::find_if(lines.begin(), lines.end(), [](const TextLine& line) {
                return line.kind == TextLine::Kind::mark;
            });
            REQUIRE(mark != lines.end());
            CHECK(mark->box_px.x >= 86);
            CHECK(mark->box_px.right() <= 90 + facts.length);
            CHECK(mark->box_px.y >= 166 - 1.1 * facts.cap_height);
            CHECK(mark->box_px.bottom() <= 170);
        }
    }
}

TEST_CASE("columns that the net sees as one stay two where nothing is written between them") {
    Image face = plain(750, 200, {240, 240, 230});
    draw(face, {.text = "Pay two lamps", .px = 34, .x = 40, .y = 100});
    draw(face, {.text = "Draw a card", .px = 34, .x = 420, .y = 100});
    CHECK(found(face).size() == 2);
}

TEST_CASE("the suit above or below an index is no part of it") {
    for (const bool over : {false, true}) {
        CAPTURE(over);
        Image face = plain(750, 1050, {250, 250, 245});
        const auto facts = draw(face, {.font = "liberation2/LiberationSerif-Bold.ttf",
                                       .text = "4",
                                       .px = 150,
                                       .x = 40,
                                       .y = 150,
                                       .ink = {160, 20, 30}});
        for (int y = 0; y < 60; ++y) {  // a diamond
            const int half = std::min(y, 59 - y);
            fill(face, {76 - half, 172 + y, 2 * half + 1, 1}, {160, 20, 30});
        }
        if (over) face = test::turned(face, 2);
        const auto lines = found(face);
        REQUIRE(lines.size() == 1);
        CHECK(lines[0].kind == TextLine::Kind::mark);
        CHECK(lines[0].box_px.height == doctest::Approx(facts.cap_height).epsilon(0.08));
        CHECK(std::abs(lines[0].box_px.y - (over ? 899 : 150 - facts.cap_height)) < 6);
    }
}

TEST_CASE("a slanted line is not taken for the one whose box reaches over it") {
    const auto line = [](double base_y, double slant_deg, RectPx box) {
        survey::MeasuredLine result;
        result.line.kind = TextLine::Kind::line;
        result.line.x_height_px = 40.0;
        result.line.slant_deg = slant_deg;
        result.line.box_px = box;
        result.line.confidence = 0.9;
        result.weight = box.width;
        result.letters = 8;
        result.left = box.x;
        result.right = box.right();
        result.base_x = box.x + box.width / 2.0;
        result.base_y = base_y;
        result.base = base_y;
        return result;
    };
    const Image face = plain(600, 300, {255, 255, 255});
    // Two lines of 8 degrees over 400 px, 70 px apart: their boxes have more than half in common.
    const RectPx upper{100, 100, 400, 56 + 60}, lower{110, 130, 380, 56 + 60};
    CHECK(survey::merged({line(170, 7.5, upper), line(240, 8, lower)}, face).size() == 2);
    // The same line twice stays one.
    CHECK(survey::merged({line(170, 8, upper), line(176, 7, lower)}, face).size() == 1);
}
