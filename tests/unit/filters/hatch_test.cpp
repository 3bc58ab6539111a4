// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/hatch.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/error.h"
#include "core/text_line.h"
#include "filters/lighten.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::both_inks;
using filters::coverage;
using filters::hatch;
using filters::Hatch;
using filters::HatchArea;

namespace {

constexpr RgbCode red{200, 30, 40};
constexpr RgbCode blue{40, 60, 190};

/// A white face with a block of a color from (60, 60) to (240, 240).
Image block_face(RgbCode color) {
    Image face(300, 300, Encoding::srgb, Ppi{300});
    for (int y = 60; y < 240; ++y) {
        for (int x = 60; x < 240; ++x) std::copy(color.begin(), color.end(), face.row(y) + 3 * x);
    }
    return face;
}

HatchArea lines_for(RgbCode color, double angle, double pitch = 0.9, double width = 0.12) {
    HatchArea area;
    area.pattern.color = color;
    area.pattern.sample.lines = {{angle, Mm{pitch}, Mm{width}}};
    area.places = {{60, 60, 180, 180}};
    return area;
}

constexpr Hatch free_budget{.ink_budget = 1.0};
const RectPx inside{140, 140, 320, 320};  // of the result, clear of the block's edges

/// Share of pixels of ink whose neighbor `length` pixels along the angle has ink too.
double runs_along(const Image& picture, double degrees, double length) {
    const double a = degrees * std::numbers::pi / 180.0;
    const int dx = static_cast<int>(std::lround(length * std::cos(a)));
    const int dy = -static_cast<int>(std::lround(length * std::sin(a)));
    int ink = 0;
    int both = 0;
    for (int y = inside.y; y < inside.bottom(); ++y) {
        for (int x = inside.x; x < inside.right(); ++x) {
            if (picture.row(y)[x] != 0) continue;
            ++ink;
            both += picture.row(y + dy)[x + dx] == 0 ? 1 : 0;
        }
    }
    return ink == 0 ? 0.0 : static_cast<double>(both) / ink;
}

}  // namespace

TEST_CASE("lines run where their angle says, 45 degrees rising to the right") {
    const Image face = block_face(red);
    for (const double angle : {0.0, 45.0, 90.0, 135.0}) {
        CAPTURE(angle);
        const HatchArea area = lines_for(red, angle);
        const Image result = hatch(face, {&area, 1}, {}, free_budget);
        for (const double other : {0.0, 45.0, 90.0, 135.0}) {
            CAPTURE(other);
            const double share = runs_along(result, other, 11.0);
            if (other == angle) CHECK(share > 0.8);
            if (other != angle) CHECK(share < 0.5);
        }
    }
}

TEST_CASE("the ink of a pattern is width over pitch, crossed 1 - (1 - w/p)^2, dots pi r^2 / p^2") {
    const Image face = block_face(blue);
    HatchArea area = lines_for(blue, 0.0);
    const double line = 0.12 / 0.9;
    CHECK(coverage(hatch(face, {&area, 1}, {}, free_budget), inside) ==
          doctest::Approx(line).epsilon(0.1).scale(0.0));
    area.pattern.sample.lines.push_back({90.0, Mm{0.9}, Mm{0.12}});
    CHECK(coverage(hatch(face, {&area, 1}, {}, free_budget), inside) ==
          doctest::Approx(1.0 - (1.0 - line) * (1.0 - line)).epsilon(0.1).scale(0.0));
    area.pattern.sample.lines.clear();
    area.pattern.sample.dots = PatternDots{Mm{0.9}, Mm{0.3}};
    CHECK(coverage(hatch(face, {&area, 1}, {}, free_budget), inside) ==
          doctest::Approx(std::numbers::pi * 0.15 * 0.15 / 0.81).epsilon(0.1).scale(0.0));
}

TEST_CASE("the pattern is fixed to the card, whatever the art around it and the bleed") {
    const Image face = block_face(red);
    HatchArea area = lines_for(red, 135.0);
    const Image plain = hatch(face, {&area, 1}, {}, free_budget);
    // The same face with 24 pixels more at its left and top edges, as bleed adds them.
    Image wide(324, 324, Encoding::srgb, Ppi{300});
    for (int y = 0; y < 300; ++y) {
        std::copy_n(face.row(y), face.stride(), wide.row(y + 24) + 3 * 24);
    }
    area.places = {{84, 84, 180, 180}};
    const Image with_bleed =
        hatch(wide, {&area, 1}, {}, {.ink_budget = 1.0, .origin_x = 24, .origin_y = 24});
    CHECK(crop(with_bleed, {48, 48, 600, 600}).bytes().size() == plain.bytes().size());
    CHECK(crop(with_bleed, {48, 48, 600, 600}) == plain);
}

TEST_CASE("only what lies in a place of its color is hatched") {
    Image face = block_face(red);
    for (int y = 10; y < 40; ++y) {
        for (int x = 10; x < 50; ++x) std::copy(red.begin(), red.end(), face.row(y) + 3 * x);
    }
    const HatchArea area = lines_for(red, 90.0);
    const Image result = hatch(face, {&area, 1}, {}, free_budget);
    CHECK(coverage(result, {0, 0, 110, 100}) == 0.0);
    CHECK(coverage(result, inside) > 0.1);
    HatchArea nowhere = area;
    nowhere.places.clear();
    CHECK(coverage(hatch(face, {&nowhere, 1}, {}, free_budget)) == 0.0);
}

TEST_CASE("the nearest of two colors decides, and a far one gets nothing") {
    const Image face = block_face({205, 40, 45});
    const HatchArea both[] = {lines_for(blue, 0.0), lines_for(red, 90.0)};
    const Image result = hatch(face, both, {}, free_budget);
    CHECK(runs_along(result, 90.0, 30.0) > 0.8);
    const HatchArea other = lines_for({30, 120, 60}, 135.0);
    CHECK(coverage(hatch(face, {&other, 1}, {}, free_budget)) == 0.0);
}

TEST_CASE("a small budget leaves a band along the edge of the area") {
    const Image face = block_face(red);
    const HatchArea area = lines_for(red, 90.0);
    for (const double budget : {0.0, 0.005, 0.02}) {
        CAPTURE(budget);
        const Image result = hatch(face, {&area, 1}, {}, {.ink_budget = budget});
        CHECK(coverage(result) <= budget + 0.002);
        CHECK(coverage(result, {280, 280, 40, 40}) == 0.0);
        if (budget > 0.0) CHECK(coverage(result, {124, 280, 8, 40}) > 0.0);
    }
}

TEST_CASE("nothing is set on the ground of text") {
    const Image face = block_face(red);
    const HatchArea area = lines_for(red, 0.0);
    Image ground = test::flat(300, 300, 255);
    for (int y = 100; y < 130; ++y) std::fill_n(ground.row(y) + 100, 80, std::uint8_t{0});
    const Image result = hatch(face, {&area, 1}, ground, free_budget);
    CHECK(coverage(result, {202, 202, 156, 56}) == 0.0);
    CHECK(coverage(result, inside) > 0.05);
}

TEST_CASE(
    "a panel that is read on has its pattern along the edge alone, and no stubs beside text") {
    const Image face = block_face(red);
    const HatchArea area = lines_for(red, 45.0);
    Image ground = test::flat(300, 300, 255);
    // Text from 8 px (0.7 mm) under the upper edge of the block down to its middle.
    for (int y = 68; y < 150; ++y) std::fill_n(ground.row(y) + 90, 120, std::uint8_t{0});
    const Image result = hatch(face, {&area, 1}, ground, free_budget);
    const auto ink = [&](RectPx part) {
        return coverage(result, {2 * part.x, 2 * part.y, 2 * part.width, 2 * part.height});
    };
    // Two lines of a pattern fit into 2 mm, 24 px.
    CHECK(ink({62, 220, 176, 16}) == doctest::Approx(0.12 / 0.9).epsilon(0.15).scale(0.0));
    CHECK(ink({64, 90, 16, 100}) == doctest::Approx(0.12 / 0.9).epsilon(0.15).scale(0.0));
    CHECK(ink({90, 152, 120, 60}) == 0.0);
    CHECK(ink({100, 61, 100, 6}) == 0.0);
    // Text that takes little of an area leaves it its pattern.
    Image little = test::flat(300, 300, 255);
    for (int y = 140; y < 160; ++y) std::fill_n(little.row(y) + 90, 120, std::uint8_t{0});
    const Image filled = hatch(face, {&area, 1}, little, free_budget);
    CHECK(coverage(filled, {200, 350, 200, 80}) ==
          doctest::Approx(0.12 / 0.9).epsilon(0.15).scale(0.0));
}

TEST_CASE("gray faces give paper, wrong input is refused") {
    HatchArea area = lines_for(red, 0.0);
    CHECK(coverage(hatch(test::flat(40, 40, 90), {&area, 1}, {}, free_budget)) == 0.0);
    CHECK_THROWS_AS((void)hatch(block_face(red), {&area, 1}, test::flat(3, 3, 0)), Error);
    CHECK_THROWS_WITH_AS((void)hatch(block_face(red), {&area, 1}, {}, {.tolerance = 0.0}),
                         doctest::Contains("tolerance"), Error);
    area.pattern.sample.lines[0].pitch = Mm{0.0};
    CHECK_THROWS_AS((void)hatch(block_face(red), {&area, 1}, {}), Error);
    const Image a = hatch(test::flat(8, 8, 90), {}, {});
    CHECK(both_inks(a, a) == a);
    CHECK_THROWS_AS((void)both_inks(a, test::flat(16, 16, 0)), Error);
}
