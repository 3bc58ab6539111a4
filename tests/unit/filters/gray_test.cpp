// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/gray.h"

#include <doctest/doctest.h>

#include "support/pictures.h"

using namespace paleproof;

TEST_CASE("gray gives each primary the sRGB code of its luminance") {
    // check values, section 4: sRGB code of luminance, 0..255, nearest code.
    struct Case {
        std::uint8_t r, g, b;
        int code;
    };
    for (const Case& c : {Case{255, 0, 0, 127}, Case{0, 255, 0, 220}, Case{0, 0, 255, 76},
                          Case{255, 255, 0, 247}, Case{0, 255, 255, 229}, Case{255, 0, 255, 145},
                          Case{255, 165, 0, 184}, Case{128, 0, 128, 70}, Case{0, 128, 0, 109}}) {
        Image one(1, 1, Encoding::srgb);
        one.row(0)[0] = c.r;
        one.row(0)[1] = c.g;
        one.row(0)[2] = c.b;
        CAPTURE(int{c.r});
        CAPTURE(int{c.g});
        CAPTURE(int{c.b});
        CHECK(int{filters::gray(one).row(0)[0]} == c.code);
    }
}

TEST_CASE("gray leaves every neutral where it is and keeps size and ppi") {
    Image ramp(256, 2, Encoding::srgb, Ppi{150});
    for (int y = 0; y < 2; ++y) {
        for (int i = 0; i < 256 * 3; ++i) ramp.row(y)[i] = static_cast<std::uint8_t>(i / 3);
    }
    const Image result = filters::gray(ramp);
    CHECK(result.encoding() == Encoding::gray);
    CHECK(result.ppi().value == 150.0);
    CHECK(result.size() == ramp.size());
    for (int x = 0; x < 256; ++x) CHECK(int{result.row(1)[x]} == x);
}

TEST_CASE("gray gives gray and bilevel pictures back") {
    const Image card = test::noise(15, 9, Encoding::gray, 1);
    CHECK(filters::gray(card) == card);
    const Image lines = test::noise(15, 9, Encoding::bilevel, 1);
    const Image result = filters::gray(lines);
    CHECK(result.encoding() == Encoding::gray);
    CHECK(std::equal(result.bytes().begin(), result.bytes().end(), lines.bytes().begin()));
}
