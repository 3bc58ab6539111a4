// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/text_guard.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

#include "color/srgb.h"
#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;

namespace {

constexpr RectPx letters_box{40, 30, 120, 20};

/// A face with a row of light bars, 4 px wide, on a dark ground: reversed text.
Image reversed_face() {
    Image face = test::flat(200, 80, 40);
    for (int y = letters_box.y; y < letters_box.bottom(); ++y) {
        for (int x = letters_box.x; x < letters_box.right(); ++x) {
            if ((x - letters_box.x) % 12 < 4) face.row(y)[x] = 230;
        }
    }
    return face;
}

TextLine reversed_line() {
    TextLine line;
    line.box_px = letters_box;
    line.confidence = 0.9;
    line.x_height_px = 20.0;
    line.stroke_px = 4.0;
    line.text_color = {230, 230, 230};
    line.ground_color = {40, 40, 40};
    line.reversed = true;
    line.contrast = 12.0;
    return line;
}

Image guarded(const Image& face, const Image& proof, const TextLine& line) {
    std::vector<filters::Letters> letters = filters::letters(face, {&line, 1});
    for (filters::Letters& cut : letters) cut.halo_px = filters::halo_x_height(face, cut);
    return filters::text_guard(proof, letters);
}

double wcag(int a, int b) {
    return color::contrast_ratio(color::linear(static_cast<std::uint8_t>(a)),
                                 color::linear(static_cast<std::uint8_t>(b)));
}

}  // namespace

TEST_CASE("reversed letters come out dark on light with the contrast of WCAG AAA") {
    // WCAG 2.2, 1.4.6: 7 : 1.
    const Image face = reversed_face();
    const Image proof = test::flat(200, 80, 190);
    const TextLine line = reversed_line();
    const Image result = guarded(face, proof, line);
    const int letter = result.row(40)[letters_box.x + 13];
    const int ground = result.row(40)[letters_box.x + 19];
    CHECK(letter < 40);
    CHECK(ground > 240);
    CHECK(wcag(letter, ground) > 7.0);
}

TEST_CASE("the halo of letters covers their outline; a panel behind them is none") {
    // Bars of 20 px in an outline of 9, and on a panel whose edges are as near above and below.
    constexpr int outline = 9;
    const auto letters_on = [&](bool panel) {
        Image face = test::flat(200, 80, 120);
        const auto bar = [](int x) {
            return x >= letters_box.x && x < letters_box.right() && (x - letters_box.x) % 40 < 8;
        };
        for (int y = 0; y < 80; ++y) {
            const int off_y = std::max({letters_box.y - y, 0, y - letters_box.bottom() + 1});
            for (int x = 0; x < 200; ++x) {
                int off_x = 200;
                for (int u = 0; u < 200; ++u)
                    if (bar(u)) off_x = std::min(off_x, std::abs(u - x));
                if (panel ? off_y <= outline : off_x * off_x + off_y * off_y <= outline * outline)
                    face.row(y)[x] = 250;
                if (off_x == 0 && off_y == 0) face.row(y)[x] = 20;
            }
        }
        TextLine line = reversed_line();
        line.reversed = false;
        line.text_color = {20, 20, 20};
        line.ground_color = {250, 250, 250};
        line.stroke_px = 8.0;
        const auto letters = filters::letters(face, {&line, 1});
        REQUIRE(letters.size() == 1);
        return filters::halo_x_height(face, letters[0]);
    };
    CHECK(letters_on(false) * filters::TextGuard{}.halo >= outline + 1);
    CHECK(letters_on(false) * filters::TextGuard{}.halo <= outline + 4);
    CHECK(letters_on(true) == 20.0);
}

TEST_CASE("far from the letters the proof is as it was, and neither input is changed") {
    const Image face = reversed_face();
    const Image proof = test::noise(200, 80, Encoding::gray, 9);
    const Image before = proof;
    const TextLine line = reversed_line();
    const Image result = guarded(face, proof, line);
    CHECK(proof == before);
    for (int x = 0; x < 200; ++x) {
        CHECK(result.row(0)[x] == proof.row(0)[x]);
        CHECK(result.row(79)[x] == proof.row(79)[x]);
    }
    CHECK(filters::text_guard(proof, {}) == proof);
}

TEST_CASE("a ribbon that runs through the end of a line is not taken for a letter") {
    Image face = reversed_face();
    for (int y = 0; y < 80; ++y) {
        for (int x = 30; x < 60; ++x) face.row(y)[x] = 220;
    }
    TextLine line = reversed_line();
    const Image result = guarded(face, test::flat(200, 80, 190), line);
    CHECK(result.row(40)[50] >= 190);
    CHECK(result.row(40)[letters_box.x + 61] < 40);
}

TEST_CASE("lines that are unsure, faint or no strokes are left alone") {
    const Image face = reversed_face();
    const Image proof = test::flat(200, 80, 190);
    TextLine line = reversed_line();
    line.confidence = 0.3;
    CHECK(guarded(face, proof, line) == proof);
    line = reversed_line();
    line.contrast = 1.05;
    CHECK(guarded(face, proof, line) == proof);
    line = reversed_line();
    line.text_color = {40, 40, 40};
    line.ground_color = {230, 230, 230};  // the wide gaps would be the letters
    CHECK(guarded(face, proof, line) == proof);
}

TEST_CASE("a box past the picture is cut, a turned line is guarded too") {
    const Image face = reversed_face();
    TextLine line = reversed_line();
    line.box_px = {150, 20, 500, 900};
    CHECK_NOTHROW((void)guarded(face, test::flat(200, 80, 190), line));
    Image turned(80, 200, Encoding::gray);
    for (int y = 0; y < 200; ++y) {
        for (int x = 0; x < 80; ++x) turned.row(y)[x] = face.row(x)[y];
    }
    line = reversed_line();
    line.box_px = {30, 40, 20, 120};
    line.quarter_turns = 1;
    const Image result = guarded(turned, test::flat(80, 200, 190), line);
    CHECK(result.row(letters_box.x + 13)[40] < 40);
}

TEST_CASE("text guard refuses color and values outside its limits") {
    CHECK_THROWS_AS((void)filters::text_guard(Image(200, 80, Encoding::srgb), {}), Error);
    CHECK_THROWS_AS((void)filters::text_guard(test::flat(20, 80, 1), {}, {.ink = 1.5}), Error);
    CHECK_THROWS_AS((void)filters::text_halo({20, 80}, {}, {.halo = -1.0}), Error);
}

TEST_CASE("the halo is paper beside the letters and gone past its reach and its fading") {
    const Image face = reversed_face();
    const TextLine line = reversed_line();
    const auto cut = filters::letters(face, {&line, 1});
    const Image halo = filters::text_halo(face.size(), cut);
    CHECK(halo.row(40)[letters_box.x + 2] == 255);
    CHECK(halo.row(0)[letters_box.x + 60] == 0);
    const auto past = static_cast<int>(1.05 * line.x_height_px) + 3;
    CHECK(halo.row(40)[letters_box.x - past] == 0);
    const Image hard = filters::text_halo(face.size(), cut, {.fade = 0.0});
    CHECK(hard.row(40)[letters_box.x - static_cast<int>(0.35 * line.x_height_px) - 3] == 0);
    for (std::size_t i = 0; i < halo.bytes().size(); ++i)
        REQUIRE(hard.bytes()[i] <= halo.bytes()[i] + 1);  // means are rounded
}

namespace {

/// A line of bars on paper, as tall as the x-height of 20.
filters::Letters bars(int y, double x_height, std::initializer_list<int> places) {
    filters::Letters cut{{20, y, 160, 20}, Image(160, 20, Encoding::gray), x_height, x_height};
    std::ranges::fill(cut.strength.bytes(), std::uint8_t{0});
    for (int row = 0; row < 20; ++row) {
        for (const int x : places) std::fill_n(cut.strength.row(row) + x, 4, std::uint8_t{255});
    }
    return cut;
}

}  // namespace

TEST_CASE("a line has one halo from its first letter to its last, and so has a block of lines") {
    const SizePx size{200, 200};
    // Words two x-heights apart; four are too far.
    const std::vector<filters::Letters> words{bars(40, 20.0, {10, 50})};
    CHECK(filters::text_halo(size, words).row(50)[20 + 32] == 255);
    const std::vector<filters::Letters> apart{bars(40, 20.0, {10, 120})};
    CHECK(filters::text_halo(size, apart).row(50)[20 + 67] == 0);
    // Lines an x-height apart are one block; three x-heights apart, or of another size, two.
    const auto between = [&](int gap, double second) {
        const std::vector<filters::Letters> lines{bars(20, 20.0, {10, 50, 90, 130}),
                                                  bars(40 + gap, second, {10, 50, 90, 130})};
        return int{filters::text_halo(size, lines, {.fade = 0.0}).row(40 + gap / 2)[20 + 70]};
    };
    CHECK(between(20, 20.0) == 255);
    CHECK(between(60, 20.0) == 0);
    CHECK(between(24, 10.0) == 0);
}

TEST_CASE("a suit beside a large index keeps its form where the ground is light") {
    // An index of 22 pt figures (x-height about 60 px at 300 ppi) and a suit 1.4 mm under it.
    constexpr RectPx index{60, 40, 50, 60};
    constexpr RectPx suit{60, 117, 50, 40};
    const auto result_on = [&](std::uint8_t ground, std::uint8_t ink) {
        Image face(180, 200, Encoding::gray, Ppi{300.0});
        std::ranges::fill(face.bytes(), ground);
        for (int y = suit.y; y < suit.bottom(); ++y)
            std::fill_n(face.row(y) + suit.x, suit.width, std::uint8_t{90});
        const Image proof = face;
        for (int y = index.y; y < index.bottom(); ++y) {
            std::fill_n(face.row(y) + index.x, 12, ink);
            std::fill_n(face.row(y) + index.right() - 12, 12, ink);
        }
        TextLine line;
        line.box_px = index;
        line.confidence = 0.9;
        line.x_height_px = 60.0;
        line.stroke_px = 12.0;
        line.text_color = {ink, ink, ink};
        line.ground_color = {ground, ground, ground};
        line.reversed = ink > ground;
        line.contrast = wcag(std::max(ink, ground), std::min(ink, ground));
        return guarded(face, proof, line);
    };
    const Image on_light = result_on(235, 20);
    CHECK(on_light.row(index.y + 30)[index.x + 6] < 40);
    for (int y = suit.y; y < suit.bottom(); ++y) CHECK(on_light.row(y)[suit.x + 25] == 90);
    // Reversed, the letters need ground of their own, and the suit gives way.
    const Image on_dark = result_on(30, 235);
    CHECK(on_dark.row(index.y + 30)[index.x + 6] < 40);
    CHECK(on_dark.row(index.y + 30)[index.x - 12] > 240);
    CHECK(on_dark.row(suit.y)[suit.x + 6] > 150);
}

TEST_CASE(
    "the ends of a line reach farther when asked to, above it and around numbers nothing does") {
    const SizePx size{260, 120};
    const std::vector<filters::Letters> line{bars(50, 20.0, {10, 50, 90, 130})};
    // The last letter ends at 153, its halo 7 px and the end 12 px farther on.
    const Image usual = filters::text_halo(size, line, {.fade = 0.0});
    const Image ends = filters::text_halo(size, line, {.fade = 0.0, .ends = 0.6});
    CHECK(usual.row(60)[168] == 0);
    CHECK(ends.row(60)[168] == 255);
    CHECK(ends.row(60)[175] == 0);
    CHECK(ends.row(60)[12] == 255);
    for (int x = 0; x < size.width; ++x) {
        REQUIRE(ends.row(40)[x] == 0);
        REQUIRE(ends.row(80)[x] == 0);
    }
    // Shorter than three x-heights: a number in a ring.
    const std::vector<filters::Letters> number{bars(50, 60.0, {10})};
    CHECK(filters::text_halo(size, number, {.fade = 0.0}) ==
          filters::text_halo(size, number, {.fade = 0.0, .ends = 0.6}));
}

TEST_CASE("light ground of one tone is told from dark, from graded and from grained ground") {
    const auto even = [](int ground, int grade, int grain) {
        Image face(300, 60, Encoding::gray, Ppi{300.0});
        test::Dice dice(4);
        filters::Letters cut{{0, 0, 300, 60}, Image(300, 60, Encoding::gray), 20.0, 20.0};
        std::ranges::fill(cut.strength.bytes(), std::uint8_t{0});
        for (int y = 0; y < 60; ++y) {
            for (int x = 0; x < 300; ++x) {
                const bool bar = y >= 20 && y < 40 && x % 15 < 5;
                const int noise = grain > 0 ? dice.between(-grain, grain) : 0;
                face.row(y)[x] =
                    static_cast<std::uint8_t>(bar ? 30 : ground + grade * x / 300 + noise);
                if (bar) cut.strength.row(y)[x] = 255;
            }
        }
        return filters::on_even_light(face, cut);
    };
    CHECK(even(200, 0, 0));
    CHECK(even(200, 10, 6));
    CHECK(!even(120, 0, 0));
    CHECK(!even(170, 80, 0));
    CHECK(!even(200, 0, 40));
}
