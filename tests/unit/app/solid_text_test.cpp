// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/solid_text.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

#include "app/guarded_text.h"
#include "support/pictures.h"

using namespace paleproof;

namespace {

/// Bars of 4 px on paper, one letter each, at the given places of a row of x-height 20.
filters::Letters letters_at(RectPx part, const std::vector<int>& places) {
    filters::Letters cut{part, Image(part.width, part.height, Encoding::gray), 20.0, 20.0};
    std::ranges::fill(cut.strength.bytes(), std::uint8_t{0});
    for (int y = 4; y < part.height - 4; ++y) {
        for (const int x : places) std::fill_n(cut.strength.row(y) + x, 4, std::uint8_t{255});
    }
    return cut;
}

}  // namespace

TEST_CASE(
    "lines and patterns end before a line of text, not between its words; marks keep theirs") {
    const Image face(400, 120, Encoding::srgb, Ppi{300});
    const app::StyleInput input{.source = face, .trimmed = face.bounds()};
    // Two words 24 px apart, 1.2 x-heights, and a single figure.
    const std::vector<filters::Letters> cut{letters_at({40, 40, 160, 28}, {20, 40, 60, 88, 108}),
                                            letters_at({300, 40, 30, 28}, {13})};
    const auto text = app::solid_text(input, cut);
    const Image clear = app::clear_of_patterns(text, cut);
    const int middle = 54;
    const int gap = 40 + 64 + 12;
    CHECK(text.ground.row(middle)[gap] < 64);
    CHECK(clear.row(middle)[gap] < 64);
    // 0.6 x-heights over the letters a line of the drawing may run, but no pattern.
    CHECK(text.ground.row(44 - 12)[60] > 200);
    CHECK(clear.row(44 - 12)[60] < 64);
    CHECK(clear.row(10)[gap] > 200);  // not over the whole face
    for (const int x : {300, 340}) CHECK(clear.row(middle)[x] == text.ground.row(middle)[x]);
    for (std::size_t i = 0; i < clear.bytes().size(); ++i)
        REQUIRE(clear.bytes()[i] <= text.ground.bytes()[i]);
}

TEST_CASE("no line runs on a dark panel under reversed text, its edge may be drawn") {
    // A panel of dark grain, 300 x 100 px, on light art, with a line of light bars on it.
    Image face(400, 200, Encoding::srgb, Ppi{300});
    test::Dice dice(5);
    const RectPx panel{50, 50, 300, 100};
    for (int y = 0; y < 200; ++y) {
        for (int x = 0; x < 400; ++x) {
            const bool on = x >= panel.x && x < panel.right() && y >= panel.y && y < panel.bottom();
            const bool bar = y >= 90 && y < 110 && x >= 100 && x < 200 && (x - 100) % 12 < 4;
            const int code = bar ? 240 : on ? 40 + dice.between(-8, 8) : 200;
            for (int c = 0; c < 3; ++c) face.row(y)[3 * x + c] = static_cast<std::uint8_t>(code);
        }
    }
    TextLine line;
    line.box_px = {100, 90, 100, 20};
    line.confidence = 0.9;
    line.x_height_px = 20.0;
    line.stroke_px = 4.0;
    line.text_color = {240, 240, 240};
    line.ground_color = {40, 40, 40};
    line.reversed = true;
    line.contrast = 12.0;
    const std::vector<TextLine> lines{line};
    const app::StyleInput input{.source = face, .trimmed = face.bounds(), .text = lines};
    const auto letters = app::guarded_letters(input);
    REQUIRE(letters.size() == 1);
    const auto text = app::solid_text(input, letters);
    const Image clear = app::clear_of_lines(input, text, letters);
    CHECK(text.ground.row(130)[300] == 255);
    CHECK(clear.row(130)[300] == 0);
    CHECK(clear.row(20)[300] == 255);  // the art
    for (const int x : {panel.x, panel.right() - 1}) CHECK(clear.row(130)[x] == 255);
}
