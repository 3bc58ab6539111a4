// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/tint.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "core/error.h"
#include "core/text_line.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::tint;

namespace {

Image one(RgbCode color) {
    Image image(1, 1, Encoding::srgb, Ppi{300});
    std::ranges::copy(color, image.bytes().begin());
    return image;
}

RgbCode tinted(RgbCode color, std::uint8_t drawing, const filters::Tint& p = {}) {
    const Image result = tint(one(color), test::flat(1, 1, drawing), p);
    return {result.bytes()[0], result.bytes()[1], result.bytes()[2]};
}

}  // namespace

TEST_CASE("a midnight blue becomes a light blue of the same hue") {
    // By hand: largest channel 120; brightest form (64, 85, 255) = 191, 170, 0 away from paper; 40
    // % of that (102/256) is 77, 68, 0.
    CHECK(tinted({30, 40, 120}, 255) == RgbCode{178, 187, 255});
}

TEST_CASE("white, grays and near black leave the paper white where nothing is drawn") {
    CHECK(tinted({255, 255, 255}, 255) == RgbCode{255, 255, 255});
    CHECK(tinted({90, 90, 90}, 255) == RgbCode{255, 255, 255});
    const RgbCode dark = tinted({2, 1, 4}, 255);
    CHECK(*std::ranges::min_element(dark) > 245);
}

TEST_CASE("the drawing is multiplied over the wash, as strongly as asked") {
    CHECK(tinted({90, 90, 90}, 100) == RgbCode{100, 100, 100});
    CHECK(tinted({90, 90, 90}, 100, {.drawing = 0.0}) == RgbCode{255, 255, 255});
    CHECK(tinted({30, 40, 120}, 255, {.wash = 0.0}) == RgbCode{255, 255, 255});
}

TEST_CASE("no channel gets darker than it was, the input is not changed") {
    const Image face = test::noise(33, 15, Encoding::srgb, 8);
    const Image drawing = test::noise(33, 15, Encoding::gray, 9);
    const Image before = face;
    const Image result = tint(face, drawing);
    CHECK(face == before);
    for (std::size_t i = 0; i < face.bytes().size(); ++i) {
        REQUIRE(result.bytes()[i] >= face.bytes()[i]);
    }
}

TEST_CASE("tint refuses a gray face, unequal sizes and values outside its limits") {
    CHECK_THROWS_AS((void)tint(test::flat(4, 4, 9), test::flat(4, 4, 9)), Error);
    CHECK_THROWS_AS((void)tint(Image(4, 4, Encoding::srgb), test::flat(4, 5, 9)), Error);
    CHECK_THROWS_AS((void)tint(one({1, 2, 3}), test::flat(1, 1, 9), {.wash = 1.2}), Error);
}
