// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/proof_text.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <utility>

#include "support/pictures.h"
#include "survey/text/missing_letters.h"

using namespace paleproof;
using survey::line_in_proof;

namespace {

constexpr RectPx box{40, 30, 120, 20};

/// Bars of 4 px every 12 px in the box; the first and last `left_out` of them are missing.
Image bars(std::uint8_t ground, std::uint8_t letter, int left_out = 0) {
    Image face = test::flat(200, 80, ground);
    for (int i = left_out; i < 10 - left_out; ++i) {
        for (int y = box.y; y < box.bottom(); ++y) {
            for (int x = 0; x < 4; ++x) face.row(y)[box.x + 12 * i + x] = letter;
        }
    }
    return face;
}

TextLine line() {
    TextLine result;
    result.box_px = box;
    result.x_height_px = 20.0;
    result.stroke_px = 4.0;
    result.text_color = {230, 230, 230};
    result.ground_color = {40, 40, 40};
    result.reversed = true;
    return result;
}

}  // namespace

TEST_CASE("reversed text that comes back dark on light is found whole, with the contrast of WCAG") {
    // WCAG 2.2: black on white is 21 : 1.
    const auto found = line_in_proof(bars(40, 230), bars(255, 0), line());
    REQUIRE(found);
    CHECK(found->contrast == doctest::Approx(21.0));
    CHECK(found->found == 1.0);
    CHECK(found->size_change == 0.0);
}

TEST_CASE("a letter that was not set again is missed in place and size") {
    const auto found = line_in_proof(bars(40, 230), bars(255, 0, 1), line());
    REQUIRE(found);
    CHECK(found->found == doctest::Approx(0.8));
    CHECK(found->size_change > 0.05);
}

TEST_CASE("a letter is missed though the line's color is that of the other letters only") {
    // The third bar has a color of its own, half the way to the ground: no core of a letter.
    Image face = bars(40, 230);
    Image proof = bars(255, 0);
    for (int y = box.y; y < box.bottom(); ++y) {
        for (int x = 24; x < 28; ++x) face.row(y)[box.x + x] = 150;
    }
    CHECK(line_in_proof(face, proof, line())->letters_missing == 0);
    for (int y = box.y; y < box.bottom(); ++y) {
        for (int x = 24; x < 28; ++x) proof.row(y)[box.x + x] = 255;
    }
    const auto found = line_in_proof(face, proof, line());
    REQUIRE(found);
    CHECK(found->letters_missing == 1);
    // What the color alone says: nothing is missing.
    CHECK(found->found == 1.0);
}

TEST_CASE("an icon among the letters and a comma are no letters that are missed") {
    Image face = bars(40, 230);
    Image proof = bars(255, 0);
    for (int y = box.y; y < box.bottom(); ++y) {
        for (int x = 100; x < 124; ++x) face.row(y)[x] = 150;
        for (int x = 100; x < 124; ++x) proof.row(y)[x] = 255;
    }
    for (int y = box.bottom() - 5; y < box.bottom(); ++y) {
        for (int x = 6; x < 9; ++x) face.row(y)[box.x + x] = 150;
    }
    const auto found = line_in_proof(face, proof, line());
    REQUIRE(found);
    CHECK(found->letters_missing == 0);
}

TEST_CASE("a shadow that is stronger than its letters is none of them") {
    // Letters of code 100 on 40, each with a shadow of 2 px at its right and bottom that is
    // lighter.
    Image face = bars(40, 100);
    Image proof = bars(255, 0);
    for (int i = 0; i < 10; ++i) {
        const int x = box.x + 12 * i;
        for (int y = box.y + 2; y < box.bottom() + 2; ++y) {
            face.row(y)[x + 4] = face.row(y)[x + 5] = 230;
            if (y >= box.bottom()) face.row(y)[x + 2] = face.row(y)[x + 3] = 230;
        }
        // As the picture was made smaller, its edge passes through the color of the letters.
        for (int y = box.y + 2; y < box.bottom(); ++y) face.row(y)[x + 6] = 100;
    }
    TextLine shadowed = line();
    shadowed.text_color = {100, 100, 100};
    auto found = line_in_proof(face, proof, shadowed);
    REQUIRE(found);
    CHECK(found->letters_missing == 0);
    CHECK(found->found == 1.0);
    CHECK(found->size_change == 0.0);
    for (int y = box.y; y < box.bottom(); ++y) {
        for (int x = 24; x < 28; ++x) proof.row(y)[box.x + x] = 255;
    }
    found = line_in_proof(face, proof, shadowed);
    REQUIRE(found);
    CHECK(found->found == doctest::Approx(0.9));
}

TEST_CASE(
    "letters without their broad outline are all there, an outline without its letter is not") {
    // Strokes of 6 px, one of 1 px, each with its outline 12 px wide, on an even ground between the
    // two in tone.
    Image face = test::flat(200, 80, 128);
    Image proof = test::flat(200, 80, 255);
    for (int i = 0; i < 5; ++i) {
        const int stroke = i == 2 ? 1 : 6;
        for (int y = box.y; y < box.bottom(); ++y) {
            std::uint8_t* row = face.row(y) + box.x + 24 * i;
            std::fill_n(row, 12, std::uint8_t{20});
            std::fill_n(row + 6 - stroke / 2, stroke, std::uint8_t{230});
            std::fill_n(proof.row(y) + box.x + 24 * i + 6 - stroke / 2, stroke, std::uint8_t{0});
        }
    }
    TextLine outlined = line();
    outlined.stroke_px = 6.0;  // so that the outline is no icon
    outlined.ground_color = {20, 20, 20};
    CHECK(survey::missing_letters(face, proof, outlined) == 0);
    for (int y = box.y; y < box.bottom(); ++y) {
        std::fill_n(proof.row(y) + box.x + 48, 12, std::uint8_t{255});
    }
    CHECK(survey::missing_letters(face, proof, outlined) == 1);
}

TEST_CASE("art as dark as the letters between them is told as ground that is not clear") {
    Image proof = bars(255, 0);
    REQUIRE(line_in_proof(bars(40, 230), proof, line())->clear == 1.0);
    // Four of the nine gaps of 8 px are filled.
    for (int i = 1; i < 9; i += 2) {
        for (int y = box.y; y < box.bottom(); ++y) {
            for (int x = 4; x < 12; ++x) proof.row(y)[box.x + 12 * i + x] = 0;
        }
    }
    const auto found = line_in_proof(bars(40, 230), proof, line());
    REQUIRE(found);
    CHECK(found->found == 1.0);
    CHECK(found->clear == doctest::Approx(5.0 / 9.0).epsilon(0.05));
}

TEST_CASE("a washed out line has next to no contrast") {
    const auto found = line_in_proof(bars(40, 230), bars(250, 255), line());
    REQUIRE(found);
    CHECK(found->contrast < 1.1);
}

TEST_CASE("a disc between the letters that stays light is no loss") {
    Image face = bars(40, 230);
    Image proof = bars(255, 0);
    for (int y = box.y; y < box.bottom(); ++y) {
        for (int x = 100; x < 124; ++x) {
            face.row(y)[x] = 230;
            proof.row(y)[x] = 255;
        }
    }
    const auto found = line_in_proof(face, proof, line());
    REQUIRE(found);
    CHECK(found->found == 1.0);
}

namespace {

/// Light bars in dark outlines of 4 px, on light art in the color of the bars; the art is left out
/// of the proof, and so are `left_out` bars at each end.
std::pair<Image, Image> outlined(int left_out) {
    Image face = test::flat(200, 80, 230);
    Image proof = test::flat(200, 80, 255);
    for (int i = 0; i < 10; ++i) {
        for (int y = box.y - 4; y < box.bottom() + 4; ++y) {
            for (int x = -4; x < 8; ++x) {
                const bool bar = x >= 0 && x < 4 && y >= box.y && y < box.bottom();
                if (i < 9 || x < 8) face.row(y)[box.x + 12 * i + x] = bar ? 230 : 40;
                const bool set = bar && i >= left_out && i < 10 - left_out;
                if (set) proof.row(y)[box.x + 12 * i + x] = 0;
            }
        }
    }
    // A strip of the art comes between the outlines of two letters.
    for (int y = 0; y < 80; ++y) {
        for (int x = 0; x < 3; ++x) face.row(y)[box.x + 12 * 4 + 6 + x] = 230;
    }
    return {face, proof};
}

}  // namespace

TEST_CASE("art in the color of outlined text is no loss, a letter of it is") {
    const auto [face, whole] = outlined(0);
    const auto found = line_in_proof(face, whole, line());
    REQUIRE(found);
    CHECK(found->found >= 0.99);
    CHECK(found->size_change <= 0.01);
    const auto [same, lost] = outlined(1);
    const auto less = line_in_proof(same, lost, line());
    REQUIRE(less);
    CHECK(less->found < 0.93);
    CHECK(less->size_change > 0.05);
}

TEST_CASE("nothing is said of a line without letters or outside of the picture") {
    CHECK_FALSE(line_in_proof(test::flat(200, 80, 40), test::flat(200, 80, 255), line()));
    TextLine outside = line();
    outside.box_px = {500, 500, 10, 10};
    CHECK_FALSE(line_in_proof(bars(40, 230), bars(255, 0), outside));
}
