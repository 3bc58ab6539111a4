// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/edges.h"

#include <doctest/doctest.h>

using namespace paleproof;

TEST_CASE("a border of one color is flat, noise of a few codes included, art is not") {
    Image image(60, 90, Encoding::srgb);
    for (int y = 0; y < 90; ++y) {
        for (int x = 0; x < 60; ++x) {
            std::uint8_t* p = image.row(y) + 3 * x;
            p[0] = static_cast<std::uint8_t>(40 + (x * 7 + y * 5) % 9);
            p[1] = 60;
            p[2] = static_cast<std::uint8_t>(y < 45 ? 90 : 90 + x);
        }
    }
    const auto edges = survey::edges(image, image.bounds(), Ppi{25.4 * 4});
    CHECK(edges.top.flat);
    CHECK_FALSE(edges.bottom.flat);
    CHECK_FALSE(edges.right.flat);
    CHECK(edges.left.flat);
    CHECK(edges.top.spread > 1.0);
    CHECK(edges.top.spread < 3.0);
}

TEST_CASE("a picture of one pixel has four flat edges") {
    const auto edges = survey::edges(Image(1, 1, Encoding::gray), {0, 0, 1, 1}, Ppi{300});
    CHECK(edges.top.flat);
    CHECK(edges.left.flat);
    CHECK(edges.top.spread == 0.0);
}
