// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/symbols.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "core/error.h"
#include "filters/text_guard.h"
#include "support/pictures.h"

using namespace paleproof;

namespace {

constexpr RgbCode parchment{238, 224, 190};
constexpr RgbCode night{24, 20, 48};
constexpr RgbCode red{206, 70, 76};
constexpr RgbCode cream{246, 240, 214};

void disc(Image& face, int cx, int cy, double radius, RgbCode color) {
    for (int y = 0; y < face.height(); ++y) {
        for (int x = 0; x < face.width(); ++x) {
            const double d2 = (x - cx) * (x - cx) + (y - cy) * (y - cy);
            if (d2 <= radius * radius) std::ranges::copy(color, face.row(y) + 3 * x);
        }
    }
}

Image plain(RgbCode color) {
    Image face(60, 60, Encoding::srgb, Ppi{300});
    disc(face, 30, 30, 100.0, color);
    return face;
}

int at(const filters::Letters& cut, int x, int y) {
    return cut.strength.row(y - cut.part.y)[x - cut.part.x];
}

}  // namespace

TEST_CASE("a dark figure on a disc is ink, the disc is paper with a rule around it") {
    Image face = plain(parchment);
    disc(face, 30, 30, 14.0, red);
    disc(face, 30, 30, 6.0, night);
    const Image before = face;
    const Symbol symbol{.box_px = {16, 16, 29, 29},
                        .ground_color = parchment,
                        .figure_color = night,
                        .on_field = true,
                        .field_color = red};
    const auto cut = filters::symbols(face, {&symbol, 1});
    REQUIRE(cut.size() == 1);
    CHECK(face == before);
    CHECK(at(cut[0], 30, 30) == 255);
    CHECK(at(cut[0], 30, 20) == 0);    // the disc
    CHECK(at(cut[0], 30, 16) == 255);  // its rule, 2 px of 0.17 mm
    CHECK(at(cut[0], 30, 14) == 0);    // the ground
    CHECK(cut[0].field.row(30 - cut[0].part.y)[20 - cut[0].part.x] == 255);
    CHECK(cut[0].field.row(0)[0] == 0);
}

TEST_CASE("a light figure on a dark ground becomes dark on paper, its holes paper") {
    Image face = plain(night);
    disc(face, 30, 30, 12.0, cream);
    disc(face, 30, 30, 5.0, night);
    const Symbol symbol{.box_px = {18, 18, 25, 25}, .ground_color = night, .figure_color = cream};
    const auto cut = filters::symbols(face, {&symbol, 1});
    REQUIRE(cut.size() == 1);
    const Image proof =
        filters::text_guard(Image(60, 60, Encoding::gray, Ppi{300}), cut, {.ink = 1.0});
    CHECK(proof.row(30)[21] == 0);
    CHECK(proof.row(30)[30] == 255);
    CHECK(proof.row(30)[5] == 255);
}

TEST_CASE("what goes on past the box is another thing") {
    Image face = plain(parchment);
    disc(face, 30, 30, 8.0, night);
    for (int y = 0; y < 60; ++y) std::ranges::copy(night, face.row(y) + 3 * 20);  // a rule
    const Symbol symbol{
        .box_px = {22, 22, 17, 17}, .ground_color = parchment, .figure_color = night};
    const auto cut = filters::symbols(face, {&symbol, 1});
    CHECK(at(cut[0], 30, 30) == 255);
    CHECK(at(cut[0], 20, 25) == 0);
}

TEST_CASE("symbols of gray faces, at the edge and of no contrast are cut without fault") {
    for (const Encoding encoding : {Encoding::srgb, Encoding::gray, Encoding::bilevel}) {
        const Image face = test::noise(33, 31, encoding, 5);
        const Symbol all{.box_px = {-4, -4, 60, 60}, .figure_color = night};
        const Symbol outside{.box_px = {100, 100, 9, 9}, .figure_color = cream};
        const Symbol same{.box_px = {3, 3, 20, 20},
                          .ground_color = red,
                          .figure_color = red,
                          .on_field = true,
                          .field_color = red};
        const std::vector<Symbol> found{all, outside, same};
        const auto cut = filters::symbols(face, found);
        REQUIRE(cut.size() == 3);
        CHECK(std::ranges::all_of(cut[1].strength.bytes(), [](auto code) { return code == 0; }));
        for (const filters::Letters& one : cut) {
            CHECK(one.strength.size() == SizePx{one.part.width, one.part.height});
        }
    }
    CHECK_THROWS_AS((void)filters::symbols(plain(night), {}, {.rule_mm = 0.0}), Error);
}
