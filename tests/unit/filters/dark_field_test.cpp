// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/dark_field.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::dark_field;

namespace {

int ink_at(const filters::FieldInk& drawing, int x, int y) {
    return drawing.strokes.row(y)[x] + drawing.shades.row(y)[x];
}

}  // namespace

TEST_CASE("an even face of any tone takes no ink") {
    for (const int tone : {0, 1, 40, 128, 254, 255}) {
        CAPTURE(tone);
        const auto drawing = dark_field(test::flat(90, 120, static_cast<std::uint8_t>(tone)));
        CHECK(std::ranges::max(drawing.strokes.bytes()) == 0);
        CHECK(std::ranges::max(drawing.shades.bytes()) == 0);
    }
}

TEST_CASE("grain of three codes on a night sky is not drawn") {
    Image sky = test::noise(200, 200, Encoding::gray, 4);
    for (auto& byte : sky.bytes()) byte = static_cast<std::uint8_t>(40 + byte % 4);
    const auto drawing = dark_field(sky);
    CHECK(std::ranges::max(drawing.strokes.bytes()) == 0);
    CHECK(std::ranges::max(drawing.shades.bytes()) == 0);
}

TEST_CASE("an edge is drawn on its dark side, its light side stays paper") {
    Image face = test::flat(240, 240, 40);
    for (int y = 0; y < 240; ++y) {
        for (int x = 120; x < 240; ++x) face.row(y)[x] = 200;
    }
    const auto drawing = dark_field(face);
    CHECK(ink_at(drawing, 118, 120) > 150);
    CHECK(ink_at(drawing, 122, 120) == 0);
    CHECK(ink_at(drawing, 10, 120) == 0);
    CHECK(ink_at(drawing, 230, 120) == 0);
    // The shade falls off away from the edge.
    CHECK(ink_at(drawing, 118, 120) > ink_at(drawing, 110, 120));
    CHECK(ink_at(drawing, 110, 120) > ink_at(drawing, 80, 120));
}

TEST_CASE("a tree on a night sky is drawn as a tree on snow is") {
    const auto drawn = [](std::uint8_t ground, std::uint8_t stem) {
        Image face = test::flat(160, 160, ground);
        for (int y = 0; y < 160; ++y) {
            for (int x = 76; x < 84; ++x) face.row(y)[x] = stem;
        }
        return ink_at(dark_field(face), 77, 80);
    };
    CHECK(drawn(220, 94) > 60);
    // Half of the sky's lifted code as well: Weber's law, the ratio decides.
    CHECK(std::abs(drawn(88, 28) - drawn(220, 94)) <= 12);
}

TEST_CASE("the drawing is never darker than the face, at any size") {
    for (const int size : {1, 2, 15, 31, 32, 33}) {
        CAPTURE(size);
        const Image face = test::noise(size, size + 2, Encoding::gray, 6);
        const Image before = face;
        const auto drawing = dark_field(face);
        CHECK(face == before);
        for (std::size_t i = 0; i < face.bytes().size(); ++i) {
            REQUIRE(drawing.strokes.bytes()[i] + drawing.shades.bytes()[i] <=
                    255 - face.bytes()[i]);
        }
    }
}

TEST_CASE("dark_field refuses color and values outside its limits") {
    CHECK_THROWS_AS((void)dark_field(Image(4, 4, Encoding::srgb)), Error);
    CHECK_THROWS_AS((void)dark_field(Image(4, 4, Encoding::gray), {.form = 1.5}), Error);
}
