// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/fit.h"

#include <doctest/doctest.h>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::fit;

TEST_CASE("fit gives the size that was asked for, and a card of that size back") {
    const Image card = test::noise(62, 88, Encoding::srgb, 3);
    CHECK(fit(card, {62, 88}) == card);
    for (const Encoding encoding : {Encoding::srgb, Encoding::gray, Encoding::bilevel}) {
        const Image other = fit(test::noise(62, 88, encoding, 3), {63, 85});
        CHECK(other.size() == SizePx{63, 85});
        CHECK(other.encoding() == encoding);
        CHECK(other.ppi().value == 300.0);
    }
}

TEST_CASE("fit of a flat card is flat, of 1-bit art 1-bit, and halving averages") {
    const Image flat = fit(test::flat(62, 88, 93), {63, 88});
    for (const std::uint8_t byte : flat.bytes()) CHECK(byte == 93);
    const Image drawn = fit(test::noise(40, 40, Encoding::bilevel, 1), {51, 39});
    for (const std::uint8_t byte : drawn.bytes()) CHECK((byte == 0 || byte == 255));
    Image four(2, 2, Encoding::gray);
    four.row(0)[0] = 10;
    four.row(0)[1] = 20;
    four.row(1)[0] = 30;
    four.row(1)[1] = 60;
    CHECK(fit(four, {1, 1}).row(0)[0] == 30);
}

TEST_CASE("fit refuses sizes that mean nothing") {
    const Image card(10, 10, Encoding::gray);
    CHECK_THROWS_AS((void)fit(card, {0, 10}), Error);
    CHECK_THROWS_AS((void)fit(card, {10, 30'000}), Error);
}
