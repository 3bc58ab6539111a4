// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/cover.h"

#include <doctest/doctest.h>

#include <array>
#include <cstdlib>

#include "support/pictures.h"

using namespace paleproof;
using filters::cover;

TEST_CASE("cover paints flat ground back exactly and touches nothing outside its boxes") {
    for (const Encoding encoding : {Encoding::srgb, Encoding::gray, Encoding::bilevel}) {
        const std::uint8_t ground = encoding == Encoding::bilevel ? 255 : 201;
        Image card(60, 40, encoding, Ppi{300});
        for (std::uint8_t& byte : card.bytes()) byte = ground;
        const Image plain = card;
        for (int y = 10; y < 20; ++y) {
            for (int x = 0; x < 30 * card.channels(); ++x) card.row(y)[x] = 0;
        }
        const std::array boxes{RectPx{-5, 10, 35, 10}};
        CHECK(cover(card, boxes) == plain);
    }
    const Image noisy = test::noise(50, 50, Encoding::srgb, 4);
    const std::array boxes{RectPx{10, 12, 7, 5}};
    const Image made = cover(noisy, boxes);
    for (int y = 0; y < 50; ++y) {
        for (int x = 0; x < 50; ++x) {
            if (x >= 10 && x < 17 && y >= 12 && y < 17) continue;
            for (int c = 0; c < 3; ++c) CHECK(made.row(y)[3 * x + c] == noisy.row(y)[3 * x + c]);
        }
    }
}

TEST_CASE("cover of a ramp keeps to the ramp, within rounding and its weights") {
    Image ramp(64, 64, Encoding::gray, Ppi{300});
    for (int y = 0; y < 64; ++y) {
        for (int x = 0; x < 64; ++x) ramp.row(y)[x] = static_cast<std::uint8_t>(40 + 2 * x);
    }
    Image lettered = ramp;
    for (int y = 28; y < 36; ++y) {
        for (int x = 20; x < 40; x += 3) lettered.row(y)[x] = 0;
    }
    const std::array boxes{RectPx{19, 27, 22, 10}};
    const Image made = cover(lettered, boxes);
    for (int y = 27; y < 37; ++y) {
        for (int x = 19; x < 41; ++x) CHECK(std::abs(made.row(y)[x] - ramp.row(y)[x]) <= 8);
    }
}

TEST_CASE("cover leaves a picture that is all box, and lone pixels, as they are") {
    const Image card = test::noise(9, 7, Encoding::gray, 2);
    const std::array all{RectPx{-1, -1, 20, 20}};
    const std::array outside{RectPx{30, 30, 5, 5}};
    CHECK(cover(card, all) == card);
    CHECK(cover(card, outside) == card);
    CHECK(cover(card, {}) == card);
    CHECK(cover(Image(1, 1, Encoding::gray), all).width() == 1);
}
