// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/enclosed.h"

#include <doctest/doctest.h>

#include "color/srgb.h"
#include "support/pictures.h"

using namespace paleproof;

namespace {

constexpr RectPx box{40, 30, 120, 20};

/// Bars of 4 px in outlines of 3 px, on flat art.
Image outlined(std::uint8_t bar, std::uint8_t outline, std::uint8_t art) {
    Image face = test::flat(200, 80, art);
    for (int i = 0; i < 8; ++i) {
        for (int y = box.y - 3; y < box.bottom() + 3; ++y) {
            for (int x = -3; x < 7; ++x) {
                const bool inside = x >= 0 && x < 4 && y >= box.y && y < box.bottom();
                face.row(y)[box.x + 15 * i + x] = inside ? bar : outline;
            }
        }
    }
    return face;
}

TextLine line(std::uint8_t text, std::uint8_t ground) {
    TextLine result;
    result.box_px = box;
    result.x_height_px = 20.0;
    result.stroke_px = 4.0;
    result.text_color = {text, text, text};
    result.ground_color = {ground, ground, ground};
    result.contrast = 2.0;
    return result;
}

}  // namespace

TEST_CASE("the art's color beyond an outline is not the color of the letters") {
    // White letters in black outlines on middle gray, whose gray was taken for the text's.
    TextLine found = line(150, 10);
    survey::mend_outlined(found, outlined(250, 10, 150), {});
    CHECK(found.text_color == RgbCode{250, 250, 250});
    CHECK(found.contrast ==
          doctest::Approx(color::contrast_ratio(color::linear(250), color::linear(10))));
    // The other way round.
    found = line(120, 250);
    survey::mend_outlined(found, outlined(5, 250, 120), {});
    CHECK(found.text_color == RgbCode{5, 5, 5});
}

TEST_CASE("a line whose colors are right is left as it is") {
    TextLine found = line(250, 10);
    survey::mend_outlined(found, outlined(250, 10, 150), {});
    CHECK(found.text_color == RgbCode{250, 250, 250});
    CHECK(found.contrast == 2.0);
}
