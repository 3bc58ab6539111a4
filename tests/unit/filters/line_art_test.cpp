// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/line_art.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>
#include "core/text_line.h"

#include "core/error.h"
#include "filters/lighten.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::coverage;
using filters::line_art;
using filters::LineArt;

namespace {

constexpr LineArt all_lines{.ink_budget = 1.0};

bool black(const Image& picture, int x, int y) { return picture.row(y)[x] == 0; }

/// Begin and end of the runs of ink in a row.
std::vector<std::pair<int, int>> runs(const Image& picture, int y) {
    std::vector<std::pair<int, int>> found;
    for (int x = 0; x < picture.width(); ++x) {
        if (!black(picture, x, y)) continue;
        const int begin = x;
        while (x < picture.width() && black(picture, x, y)) ++x;
        found.emplace_back(begin, x);
    }
    return found;
}

Image two_tones(RgbCode left, RgbCode right) {
    Image face(300, 200, Encoding::srgb, Ppi{300});
    for (int y = 0; y < 200; ++y) {
        for (int x = 0; x < 300; ++x) {
            const RgbCode& color = x < 150 ? left : right;
            std::copy(color.begin(), color.end(), face.row(y) + 3 * x);
        }
    }
    return face;
}

/// A ring, `radius` and `width` in pixels, on a ground.
Image ring(int ground, int ink, double radius, double width) {
    Image face = test::flat(300, 300, static_cast<std::uint8_t>(ground));
    for (int y = 0; y < 300; ++y) {
        for (int x = 0; x < 300; ++x) {
            const double off = std::abs(std::hypot(x - 149.5, y - 149.5) - radius);
            const double share = std::clamp(width / 2.0 + 0.5 - off, 0.0, 1.0);
            face.row(y)[x] =
                static_cast<std::uint8_t>(std::lround(ground + share * (ink - ground)));
        }
    }
    return face;
}

// A positive line of a printed card is not under 0.25 pt: a book printer's limit (common practice).
constexpr double least_pt = 0.25;
double points_at_600(double px) { return px / 600.0 * 72.0; }

}  // namespace

TEST_CASE("the result is bilevel at 600 ppi whatever the ppi of the face") {
    for (const double ppi : {72.0, 150.0, 300.0, 600.0}) {
        CAPTURE(ppi);
        Image face = test::soft_card(120, 90, Encoding::gray);
        face.set_ppi(Ppi{ppi});
        const Image result = line_art(face, {}, all_lines);
        CHECK(result.encoding() == Encoding::bilevel);
        CHECK(result.ppi().value == 600.0);
        CHECK(result.width() == std::lround(120 * 600 / ppi));
        CHECK(std::ranges::all_of(result.bytes(), [](auto b) { return b == 0 || b == 255; }));
    }
}

TEST_CASE("the border of two flat colors is one line, on the dark side") {
    const Image result = line_art(two_tones({40, 40, 60}, {220, 200, 160}), {}, all_lines);
    for (int y = 20; y < 380; y += 40) {
        CAPTURE(y);
        const auto found = runs(result, y);
        REQUIRE(found.size() == 1);
        CHECK(points_at_600(found[0].second - found[0].first) >= least_pt);
        CHECK(points_at_600(found[0].second - found[0].first) < 0.7);
        CHECK(found[0].second <= 302);
        CHECK(found[0].first >= 290);
    }
}

TEST_CASE("red and green of one lightness still have a line between them") {
    // sRGB codes whose relative luminance is 0.178 and 0.180 (IEC 61966-2-1).
    const Image result = line_art(two_tones({200, 82, 60}, {60, 131, 60}), {}, all_lines);
    CHECK(runs(result, 200).size() == 1);
}

TEST_CASE("a thin stroke is one line, dark on light and light on dark") {
    for (const auto& [a_ground, ink] : {std::pair{240, 20}, std::pair{30, 230}}) {
        const auto& ground = a_ground;  // clang 14 captures no bindings
        CAPTURE(ground);
        const Image result = line_art(ring(ground, ink, 100.0, 3.0), {}, all_lines);
        const auto found = runs(result, 300);
        REQUIRE(found.size() == 2);
        for (const auto& [begin, end] : found) {
            CHECK(points_at_600(end - begin) >= least_pt);
            CHECK(points_at_600(end - begin) < 0.8);
        }
        // At 3 o'clock and 9 o'clock, within a pixel of the face.
        CHECK(std::abs(0.5 * (found[1].first + found[1].second) - 500.0) < 3.0);
        CHECK(std::abs(0.5 * (found[0].first + found[0].second) - 100.0) < 3.0);
    }
}

TEST_CASE("a drawn circle is one unbroken line of even weight") {
    const Image result = line_art(ring(200, 90, 55.0, 110.0), {}, all_lines);
    double least = 1e9;
    double most = 0.0;
    for (int degrees = 0; degrees < 360; degrees += 5) {
        const double a = degrees * std::numbers::pi / 180.0;
        double weight = 0.0;
        for (double r = 195.0; r < 235.0; r += 0.25) {
            const int x = static_cast<int>(std::lround(299.5 + r * std::cos(a)));
            const int y = static_cast<int>(std::lround(299.5 + r * std::sin(a)));
            if (black(result, x, y)) weight += 0.25;
        }
        least = std::min(least, weight);
        most = std::max(most, weight);
    }
    CAPTURE(least);
    CAPTURE(most);
    CHECK(points_at_600(least) >= least_pt);
    CHECK(most - least <= 3.0);
}

TEST_CASE("flat faces, soft ramps and transparent paper are left as paper") {
    for (const int code : {0, 128, 255}) {
        const Image result = line_art(test::flat(80, 60, static_cast<std::uint8_t>(code)), {}, {});
        CHECK(coverage(result) == 0.0);
    }
    Image ramp(256, 100, Encoding::gray, Ppi{300});
    for (int y = 0; y < 100; ++y) {
        for (int x = 0; x < 256; ++x) ramp.row(y)[x] = static_cast<std::uint8_t>(x);
    }
    CHECK(coverage(line_art(ramp, {}, all_lines)) == 0.0);
}

TEST_CASE("grain is not drawn, the border of what has grain is") {
    // Two grained areas that differ by 60 codes, as leather or parchment, meet at x = 300.
    Image face(600, 400, Encoding::gray, Ppi{300});
    test::Dice dice(11);
    for (int y = 0; y < 400; ++y) {
        for (int x = 0; x < 600; ++x) {
            // The sum of four dice is nearly a Gaussian of deviation 13.
            int grain = 0;
            for (int i = 0; i < 4; ++i) grain += dice.between(-11, 11);
            face.row(y)[x] = static_cast<std::uint8_t>((x < 300 ? 90 : 150) + grain);
        }
    }
    const Image result = line_art(face, {}, {.ink_budget = 0.1});
    CHECK(coverage(result, {0, 0, 560, 800}) < 0.002);
    CHECK(coverage(result, {640, 0, 560, 800}) < 0.002);
    int rows = 0;
    for (int y = 0; y < 800; ++y) {
        bool line = false;
        for (int x = 585; x < 615; ++x) line = line || black(result, x, y);
        rows += line ? 1 : 0;
    }
    CHECK(rows > 760);
}

TEST_CASE("the budget is kept on noise, art and bilevel scans") {
    for (const double budget : {0.0, 0.01, 0.03, 0.06, 0.2}) {
        CAPTURE(budget);
        for (const Encoding encoding : {Encoding::gray, Encoding::srgb, Encoding::bilevel}) {
            const Image result =
                line_art(test::noise(200, 150, encoding, 4), {}, {.ink_budget = budget});
            CHECK(coverage(result) <= budget + 0.002);
        }
        const Image card =
            line_art(test::soft_card(300, 200, Encoding::srgb), {}, {.ink_budget = budget});
        CHECK(coverage(card) <= budget + 0.002);
    }
}

TEST_CASE("coverage counts in the area alone") {
    const Image face = test::soft_card(300, 200, Encoding::gray);
    const RectPx area{30, 30, 200, 100};
    const Image result = line_art(face, {}, {.ink_budget = 0.03, .area = area});
    CHECK(coverage(result, {60, 60, 400, 200}) <= 0.032);
}

TEST_CASE("letters are solid, and no line enters the ground around them") {
    const Image face = test::soft_card(300, 200, Encoding::gray);
    filters::SolidText text;
    text.letters = test::flat(300, 200, 255);
    text.ground = text.letters;
    for (int y = 40; y < 80; ++y) {
        for (int x = 40; x < 140; ++x) {
            text.ground.row(y)[x] = 0;
            if (x >= 80 && x < 90 && y >= 50 && y < 70) text.letters.row(y)[x] = 20;
        }
    }
    const Image result = line_art(face, text, {.ink_budget = 0.08});
    for (int y = 84; y < 156; ++y) {
        for (int x = 84; x < 276; ++x) {
            const bool letter = x >= 160 && x < 180 && y >= 100 && y < 140;
            // A pixel of play beside the enlarged contour.
            const bool rim = x >= 158 && x < 182 && y >= 98 && y < 142 && !letter;
            if (!rim) CHECK(black(result, x, y) == letter);
        }
    }
}

TEST_CASE("strokes of letters thinner than a pixel of the face do not break; grain is no stroke") {
    const Image face = test::flat(300, 200, 255);
    filters::SolidText text;
    text.letters = test::flat(300, 200, 255);
    for (int y = 50; y < 80; ++y) {
        std::fill_n(text.letters.row(y) + 80, 6, std::uint8_t{20});
        text.letters.row(y)[200] = 220;
    }
    // 45 % of a pixel from the stem on.
    std::fill_n(text.letters.row(60) + 86, 20, std::uint8_t{140});
    const Image result = line_art(face, text, all_lines);
    for (int x = 2 * 90; x < 2 * 104; ++x) {
        CAPTURE(x);
        CHECK((black(result, x, 120) || black(result, x, 121)));
        CHECK(!black(result, x, 116));
        CHECK(!black(result, x, 125));
    }
    for (int y = 110; y < 150; ++y) CHECK(!black(result, 400, y));
    // The stem has its own width, to a pixel of the result.
    const auto across = runs(result, 140);
    REQUIRE(across.size() == 1);
    CHECK(std::abs(across[0].second - across[0].first - 12) <= 1);
}

TEST_CASE("symbols are drawn before the picture") {
    Image face = test::noise(300, 300, Encoding::gray, 8);
    for (int y = 100; y < 140; ++y) {
        for (int x = 100; x < 140; ++x)
            face.row(y)[x] = x >= 110 && x < 130 && y >= 110 && y < 130 ? 120 : 180;
    }
    filters::SolidText text;
    text.first = {{98, 98, 44, 44}};
    const RectPx inside{210, 210, 60, 60};
    const double with = coverage(line_art(face, text, {.ink_budget = 0.02}), inside);
    CHECK(with > 0.05);
}

TEST_CASE("past the trim only lines that come across it are drawn") {
    // A mirrored face: a frame 10 px inside the trim at x = 60 and a bar that runs out of it.
    Image face = test::flat(200, 200, 220);
    for (int y = 0; y < 200; ++y) {
        for (const int x : {49, 50, 69, 70}) face.row(y)[x] = 30;
    }
    for (int y = 100; y < 103; ++y) std::fill_n(face.row(y), 200, std::uint8_t{30});
    const Image result = line_art(face, {}, {.ink_budget = 1.0, .area = {60, 0, 140, 200}});
    CHECK(runs(result, 100).size() == 1);
    CHECK(runs(result, 201).size() == 1);
    CHECK(runs(result, 201).front().first < 20);
}

TEST_CASE("the same face gives the same drawing, and the face is not changed") {
    const Image face = test::soft_card(210, 140, Encoding::srgb);
    const Image before = face;
    CHECK(line_art(face, {}, {}) == line_art(face, {}, {}));
    CHECK(face == before);
}

TEST_CASE("sizes down to one pixel are drawn, and wrong input is refused by name") {
    for (const int size : {1, 2, 3, 5, 9}) {
        CAPTURE(size);
        CHECK(line_art(test::noise(size, size, Encoding::srgb, 2), {}, {}).width() == 2 * size);
    }
    CHECK_THROWS_WITH_AS((void)line_art(test::flat(9, 9, 0), {}, {.ink_budget = 2.0}),
                         doctest::Contains("ink-budget"), Error);
    filters::SolidText text;
    text.letters = test::flat(8, 9, 255);
    CHECK_THROWS_AS((void)line_art(test::flat(9, 9, 0), text, {}), Error);
}
