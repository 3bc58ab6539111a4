// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/letter_shape.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>

#include "core/geometry.h"

using namespace paleproof;
using filters::keep_letter_shapes;

namespace {

// Strokes of 4 px, an x-height of 20: the widest stroke is 2.4 * 4 + 1 = 10.6 px (docs/filters.md).
constexpr int around = 6;
constexpr SizePx size{200, 20 + 2 * around};

TextLine line() {
    TextLine result;
    result.box_px = {0, 0, size.width - 2 * around, 20};
    result.x_height_px = 20.0;
    result.stroke_px = 4.0;
    return result;
}

void fill(Image& image, RectPx part) {
    for (int y = part.y; y < part.bottom(); ++y)
        std::fill_n(image.row(y) + part.x, part.width, std::uint8_t{255});
}

/// Bars of 4 px, every 16 px over the left half of the line.
Image bars() {
    Image tone(size.width, size.height, Encoding::gray);
    std::ranges::fill(tone.bytes(), std::uint8_t{0});
    for (int i = 0; i < 6; ++i) fill(tone, {around + 16 * i, around, 4, 20});
    return tone;
}

Image transposed(const Image& image) {
    Image result(image.height(), image.width(), Encoding::gray);
    for (int y = 0; y < image.height(); ++y) {
        for (int x = 0; x < image.width(); ++x) result.row(x)[y] = image.row(y)[x];
    }
    return result;
}

}  // namespace

TEST_CASE("the room around a line and its widest stroke are those of the documents") {
    CHECK(filters::room_around(line()) == around);
    CHECK(filters::widest_stroke(line()) == doctest::Approx(10.6));
    TextLine small = line();
    small.x_height_px = 6.0;
    small.stroke_px = 0.5;
    CHECK(filters::room_around(small) == 4);
    CHECK(filters::widest_stroke(small) == doctest::Approx(2.8));
}

TEST_CASE("strokes alone stay as they are") {
    const Image tone = bars();
    Image left = tone;
    const filters::LetterShape shape = keep_letter_shapes(left, line());
    CHECK(shape.fits);
    CHECK(shape.all_enclosed == false);  // they fill too little of the line
    CHECK(left == tone);
}

TEST_CASE("a blot, what goes on below and a ribbon or a rule go, the letters stay") {
    const Image letters = bars();
    for (const RectPx art :
         {RectPx{120, around, 24, 20},                             // an icon
          RectPx{120, around + 12, 8, size.height - around - 12},  // a scrap
          RectPx{size.width - 9, 0, 9, size.height}, RectPx{size.width - 5, 0, 5, 24},
          RectPx{150, 0, 4, size.height}}) {  // a ribbon
        CAPTURE(art.x);
        CAPTURE(art.width);
        Image left = letters;
        fill(left, art);
        CHECK(keep_letter_shapes(left, line()).fits);
        CHECK(left == letters);
    }
}

TEST_CASE("a letter that touches a blot is left when the blot is cut away") {
    Image left = bars();
    fill(left, {120, around, 24, 20});
    fill(left, {144, around, 20, 3});  // the bar between the two, as thin as a stroke
    fill(left, {160, around, 4, 20});
    CHECK(keep_letter_shapes(left, line()).fits);
    CHECK(left.row(around + 10)[132] == 0);
    CHECK(left.row(around + 10)[161] == 255);
}

TEST_CASE("a glyph of a count that touches the rule of a frame is left without it") {
    const Image letters = bars();
    TextLine count = line();
    count.kind = TextLine::Kind::mark;
    for (const bool right : {false, true}) {
        CAPTURE(right);
        Image left = letters;
        const int rule = right ? size.width - 5 : 1;
        fill(left, {rule, 0, 4, size.height});
        const RectPx bar =
            right ? RectPx{size.width - 18, around, 4, 20} : RectPx{around, around, 4, 20};
        fill(left, bar);
        const int touching = right ? bar.right() : rule;
        fill(left, {touching, around + 16, 10, 3});
        CHECK(keep_letter_shapes(left, count).fits);
        CHECK(left.row(around + 5)[bar.x + 1] == 255);
        for (int y = 0; y < size.height; ++y) CHECK(left.row(y)[rule + 1] == 0);
    }
}

TEST_CASE("a line that is filled for more than half is no letters") {
    Image left(size.width, size.height, Encoding::gray);
    std::ranges::fill(left.bytes(), std::uint8_t{0});
    for (int x = around; x + 24 < size.width - around; x += 30) fill(left, {x, around, 9, 20});
    for (int y = around; y < around + 20; y += 6)
        fill(left, {around, y, size.width - 2 * around, 4});
    fill(left, {around, around, 40, 20});
    CHECK_FALSE(keep_letter_shapes(left, line()).fits);
    CHECK(std::ranges::all_of(left.bytes(), [](std::uint8_t code) { return code == 0; }));
}

TEST_CASE("a turned line is what an upright one is, turned") {
    Image upright = bars();
    fill(upright, {120, around, 24, 20});
    Image turned = transposed(upright);
    TextLine down = line();
    down.quarter_turns = 1;
    const filters::LetterShape a = keep_letter_shapes(upright, line());
    const filters::LetterShape b = keep_letter_shapes(turned, down);
    CHECK(a.fits == b.fits);
    CHECK(a.all_enclosed == b.all_enclosed);
    CHECK(transposed(upright) == turned);
}
