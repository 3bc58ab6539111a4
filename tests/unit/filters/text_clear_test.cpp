// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/text_clear.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::Letters;
using filters::text_clear;

namespace {

/// Letters as bars of 4 px in a box of 60 x 20 at (20, 20).
Letters bars() {
    Letters letters{{20, 20, 60, 20}, Image(60, 20, Encoding::gray), 16.0};
    std::ranges::fill(letters.strength.bytes(), std::uint8_t{0});
    for (int y = 2; y < 18; ++y) {
        for (int x = 4; x < 56; ++x) {
            if (x % 12 < 4) letters.strength.row(y)[x] = 255;
        }
    }
    return letters;
}

}  // namespace

TEST_CASE("on an even ground cleared letters leave no trace") {
    Image face = test::flat(100, 60, 70);
    const Letters letters = bars();
    for (int y = 0; y < 20; ++y) {
        for (int x = 0; x < 60; ++x) {
            if (letters.strength.row(y)[x] != 0) face.row(20 + y)[20 + x] = 230;
        }
    }
    CHECK(text_clear(face, {&letters, 1}) == test::flat(100, 60, 70));
}

TEST_CASE("what is far from the letters stays, and without letters all does") {
    const Image face = test::noise(100, 60, Encoding::gray, 3);
    const Letters letters = bars();
    const Image result = text_clear(face, {&letters, 1});
    for (int x = 0; x < 100; ++x) {
        CHECK(result.row(5)[x] == face.row(5)[x]);
        CHECK(result.row(55)[x] == face.row(55)[x]);
    }
    CHECK(text_clear(face, {}) == face);
    CHECK_THROWS_AS((void)text_clear(Image(3, 3, Encoding::srgb), {}), Error);
}
