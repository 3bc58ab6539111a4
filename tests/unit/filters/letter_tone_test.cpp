// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/letter_tone.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "support/fill.h"

using namespace paleproof;
using filters::letter_tone;
using test::fill;

namespace {

constexpr RgbCode ground{30, 40, 110};
constexpr RgbCode text{250, 230, 200};

TextLine line_of(double x_height) {
    TextLine line;
    line.x_height_px = x_height;
    line.stroke_px = 4.0;
    line.text_color = text;
    line.ground_color = ground;
    return line;
}

RgbCode between(double share) {
    RgbCode result{};
    for (std::size_t c = 0; c < 3; ++c)
        result[c] =
            static_cast<std::uint8_t>(std::lround(ground[c] + share * (text[c] - ground[c])));
    return result;
}

Image of_one_color(RgbCode color) {
    Image face(24, 24, Encoding::srgb, Ppi{300});
    fill(face, face.bounds(), color);
    return face;
}

double smooth(double value, double from, double whole) {
    const double t = std::clamp((value - from) / (whole - from), 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

}  // namespace

TEST_CASE("tones are those of the formula in the documents, in doubles") {
    struct Case {
        double x_height, contrast, from, whole;
        bool even;
    };
    for (const Case& c : {Case{20.0, 2.0, 0.25, 0.70, false}, Case{10.0, 2.0, 0.15, 0.80, true},
                          Case{8.0, 5.0, 0.15, 0.80, true}, Case{8.0, 2.0, 0.10, 0.60, true},
                          Case{8.0, 1.2, 0.15, 0.80, true}}) {
        TextLine line = line_of(c.x_height);
        line.contrast = c.contrast;
        CAPTURE(c.x_height);
        CAPTURE(c.contrast);
        for (int r = 0; r < 256; r += 25) {
            for (int g = 0; g < 256; g += 25) {
                for (int b = 0; b < 256; b += 25) {
                    const RgbCode color{static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g),
                                        static_cast<std::uint8_t>(b)};
                    double along = 0.0;
                    double length2 = 0.0;
                    double distance2 = 0.0;
                    for (std::size_t i = 0; i < 3; ++i) {
                        const double step = text[i] - ground[i];
                        const double d = color[i] - ground[i];
                        along += d * step;
                        length2 += step * step;
                        distance2 += d * d;
                    }
                    // The place on the way is kept in codes.
                    const double way = static_cast<double>(std::lround(
                                           255.0 * std::clamp(along / length2, 0.0, 1.0))) /
                                       255.0;
                    const double off = std::sqrt(
                        std::max(0.0, distance2 / length2 - std::pow(along / length2, 2)));
                    const double tone =
                        c.even ? std::clamp((way - c.from) / (c.whole - c.from), 0.0, 1.0)
                               : smooth(way, c.from, c.whole);
                    const double wanted = 255.0 * tone * (1.0 - smooth(off, 0.45, 0.90));
                    Image face = of_one_color(ground);
                    fill(face, {6, 6, 8, 8}, color);
                    const Image got = letter_tone(face, {1, 1, 22, 22}, line);
                    CAPTURE(r);
                    CAPTURE(g);
                    CAPTURE(b);
                    // One step of the place on the way is up to 3.4 of tone.
                    CHECK(std::abs(got.row(9)[9] - wanted) <= 4.0);
                }
            }
        }
    }
}

TEST_CASE(
    "a hairline on the ground is raised to a letter; grain is not, nor what lies on a shade") {
    const TextLine line = line_of(20.0);
    const auto tone_of = [&](double under, double stroke, int wide) {
        Image face = of_one_color(ground);
        fill(face, {7, 0, 10, 24}, between(under));
        fill(face, {12 - wide / 2, 2, wide, 20}, between(stroke));
        return int{letter_tone(face, face.bounds(), line).row(12)[12]};
    };
    CHECK(tone_of(0.0, 0.45, 8) < 150);  // a broad stroke of that color is half a letter
    CHECK(tone_of(0.0, 0.45, 1) > 240);
    CHECK(tone_of(0.0, 0.10, 1) == 0);
    CHECK(tone_of(0.30, 0.45, 1) == tone_of(0.30, 0.45, 8));
    // Small letters have no hairlines that a printer could hold.
    Image face = of_one_color(between(0.0));
    fill(face, {12, 2, 1, 20}, between(0.45));
    CHECK(std::abs(letter_tone(face, face.bounds(), line_of(10.0)).row(12)[12] - 118) <= 4);
}

TEST_CASE("letters in an outline on even art: the art is ground as well") {
    // Ground is the outline's color, and more of the box is art, up to 58 % of the way to the text.
    for (const double art : {0.3, 0.45, 0.58}) {
        for (const double x_height : {10.0, 20.0}) {
            CAPTURE(art);
            CAPTURE(x_height);
            Image face = of_one_color(between(art));
            fill(face, {8, 4, 8, 16}, ground);
            fill(face, {10, 6, 4, 12}, text);
            const Image tone = letter_tone(face, face.bounds(), line_of(x_height));
            CHECK(tone.row(12)[2] == 0);
            CHECK(tone.row(12)[9] == 0);
            CHECK(tone.row(12)[11] == 255);
        }
    }
}

TEST_CASE("a broad outline leaves tips of the art between letters, which are no hairlines") {
    // Of the art nothing shows but above and below the outline, and in one tip of three pixels.
    const RgbCode art = between(0.45);
    Image face(200, 50, Encoding::srgb, Ppi{300});
    fill(face, face.bounds(), art);
    fill(face, {0, 3, 200, 44}, ground);
    for (int x = 10; x < 190; x += 20) fill(face, {x, 12, 5, 26}, text);
    fill(face, {101, 3, 3, 6}, art);
    TextLine line = line_of(20.0);
    const Image tone = letter_tone(face, face.bounds(), line);
    CHECK(tone.row(6)[102] == 0);
    CHECK(tone.row(1)[102] == 0);
    CHECK(tone.row(25)[12] == 255);
    // The same turned.
    Image turned(50, 200, Encoding::srgb, Ppi{300});
    for (int y = 0; y < 200; ++y) {
        for (int x = 0; x < 50; ++x) std::copy_n(face.row(x) + 3 * y, 3, turned.row(y) + 3 * x);
    }
    line.quarter_turns = 1;
    CHECK(letter_tone(turned, turned.bounds(), line).row(102)[6] == 0);
}

TEST_CASE("a shadow that looks unlike the letters is none of them, nor is its soft rim") {
    TextLine line;
    line.x_height_px = 20.0;
    line.stroke_px = 4.0;
    line.text_color = {187, 155, 241};
    line.ground_color = {240, 247, 193};
    line.shadow_color = RgbCode{40, 42, 36};
    Image face = of_one_color(line.ground_color);
    fill(face, {12, 4, 4, 16}, *line.shadow_color);
    fill(face, {16, 4, 1, 16}, {160, 168, 132});  // half shadow, half ground
    fill(face, {8, 4, 4, 16}, line.text_color);
    const Image tone = letter_tone(face, face.bounds(), line);
    CHECK(tone.row(12)[9] == 255);
    CHECK(tone.row(12)[13] == 0);
    CHECK(tone.row(12)[16] == 0);
    CHECK(tone.row(12)[3] == 0);
}

TEST_CASE("colors that do not differ give no letters") {
    TextLine line = line_of(20.0);
    line.text_color = ground;
    CHECK(filters::tone_step(line, Encoding::srgb) == 0.0);
    const Image face = of_one_color(ground);
    const Image tone = letter_tone(face, face.bounds(), line);
    CHECK(std::ranges::all_of(tone.bytes(), [](std::uint8_t c) { return c == 0; }));
}

TEST_CASE("strokes stand out from the ground right around them, whatever it is") {
    const TextLine line = line_of(20.0);
    for (const double under : {0.0, 0.3, 0.6}) {
        CAPTURE(under);
        Image face = of_one_color(between(under));
        fill(face, {10, 2, 4, 20}, text);
        const Image tone = filters::stroke_tone(face, face.bounds(), line, 8.0);
        CHECK(tone.row(12)[11] == 255);
        CHECK(tone.row(12)[4] == 0);
        CHECK(tone.row(12)[20] == 0);
    }
    // What is broader than any stroke is ground.
    Image face = of_one_color(between(0.0));
    fill(face, {4, 2, 16, 20}, text);
    CHECK(filters::stroke_tone(face, face.bounds(), line, 8.0).row(12)[12] == 0);
}

TEST_CASE("where art changes color under a line its ground does not look like letters") {
    // Light letters on dark red; under the first fifth of the line the art is magenta, which lies
    // 43 % of the way to them.
    Image face(500, 40, Encoding::srgb);
    const auto is_letter = [](int x, int y) { return y >= 10 && y < 30 && x % 20 < 5; };
    for (int y = 0; y < 40; ++y) {
        for (int x = 0; x < 500; ++x) {
            const RgbCode color = is_letter(x, y) ? RgbCode{230, 230, 255}
                                  : x < 100       ? RgbCode{190, 0, 190}
                                                  : RgbCode{128, 0, 0};
            std::copy(color.begin(), color.end(), face.row(y) + 3 * x);
        }
    }
    TextLine line;
    line.box_px = {0, 10, 500, 20};
    line.x_height_px = 15.0;
    line.stroke_px = 5.0;
    line.text_color = {230, 230, 255};
    line.ground_color = {128, 0, 0};
    const Image tone = filters::letter_tone(face, face.bounds(), line);
    for (int y = 12; y < 28; ++y) {
        for (int x = 0; x < 500; ++x) {
            if (x >= 60 && x < 140) continue;  // where the two meet
            CAPTURE(x);
            if (is_letter(x, y) && is_letter(x + 1, y) && is_letter(x - 1, y)) {
                REQUIRE(tone.row(y)[x] > 200);
            } else if (!is_letter(x, y)) {
                REQUIRE(tone.row(y)[x] < 30);
            }
        }
    }
}
