// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/heat.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace paleproof;
using color::Separation;

TEST_CASE("a patch of a heat picture covers a millimeter and tells its total coverage") {
    // Black of DeviceGray is one ink in full: 1.0 of 4.0, code 64 (docs/units.md, ink).
    Image gray(745, 1039, Encoding::gray, Ppi{300.0});
    std::ranges::fill(gray.bytes(), std::uint8_t{0});
    const Thumbnail black = app::heat_of(gray, Separation::uncoated());
    CHECK(black.width == 63);
    CHECK(black.height == 88);
    CHECK(black.jpeg.size() < 3000);
    CHECK(black.frame.empty());

    // Paper takes none: another picture. The same again: the same bytes.
    std::ranges::fill(gray.bytes(), std::uint8_t{255});
    CHECK(app::heat_of(gray, Separation::uncoated()).jpeg != black.jpeg);
    std::ranges::fill(gray.bytes(), std::uint8_t{0});
    CHECK(app::heat_of(gray, Separation::uncoated()).jpeg == black.jpeg);
}

TEST_CASE("pictures smaller than a millimeter still have a patch") {
    const Image dot(1, 1, Encoding::srgb, Ppi{300.0});
    const Thumbnail heat = app::heat_of(dot, Separation::uncoated());
    CHECK(heat.width == 1);
    CHECK(heat.height == 1);
}
