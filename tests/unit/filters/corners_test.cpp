// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/corners.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::corners;

TEST_CASE("corners of a flat card come out in its exact color, whatever lay outside") {
    for (const Encoding encoding : {Encoding::srgb, Encoding::gray, Encoding::bilevel}) {
        Image card(100, 140, encoding, Ppi{300});
        const std::uint8_t code = encoding == Encoding::bilevel ? 0 : 77;
        const double r = 30.0;
        for (int y = 0; y < 140; ++y) {
            for (int x = 0; x < 100 * card.channels(); ++x) {
                const double px = x / card.channels() + 0.5;
                const double dx = std::max({r - px, px - 70.0, 0.0});
                const double dy = std::max({r - y - 0.5, y + 0.5 - 110.0, 0.0});
                if (std::hypot(dx, dy) <= r) card.row(y)[x] = code;
            }
        }
        const Image filled = corners(card, {{}, {r, r, r, r}});
        for (const std::uint8_t byte : filled.bytes()) CHECK(byte == code);
    }
}

TEST_CASE("corners leave everything inside the curve bit for bit") {
    const Image card = test::noise(90, 70, Encoding::srgb, 3);
    const Image filled = corners(card, {{10, 5, 70, 60}, {20.0, 0.0, 12.5, 0.0}});
    int changed = 0;
    for (int y = 0; y < 70; ++y) {
        for (int x = 0; x < 90; ++x) {
            bool same = true;
            for (int c = 0; c < 3; ++c) {
                same = same && filled.row(y)[3 * x + c] == card.row(y)[3 * x + c];
            }
            if (same) continue;
            ++changed;
            const bool first =
                x < 30 && y < 25 && std::hypot(x + 0.5 - 30.0, y + 0.5 - 25.0) > 18.5;
            const bool third =
                x >= 67 && y >= 52 && std::hypot(x + 0.5 - 67.5, y + 0.5 - 52.5) > 11.0;
            CHECK((first || third));
        }
    }
    CHECK(changed > 50);
    CHECK(corners(card, {}) == card);
}

TEST_CASE("corners refuse radii and areas that mean nothing") {
    const Image card(10, 10, Encoding::gray);
    CHECK_THROWS_AS((void)corners(card, {{}, {6.0, 0, 0, 0}}), Error);
    CHECK_THROWS_AS((void)corners(card, {{}, {-1.0, 0, 0, 0}}), Error);
    CHECK_THROWS_AS((void)corners(card, {{5, 5, 10, 10}, {}}), Error);
    CHECK(corners(Image(1, 1, Encoding::gray), {{}, {0.5, 0.5, 0.5, 0.5}}).width() == 1);
}
