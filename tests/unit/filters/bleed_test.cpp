// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/bleed.h"

#include <doctest/doctest.h>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::bleed;
using filters::Bleed;
using enum BleedMethod;

namespace {

/// The definition of the two methods, one pixel at a time.
int plain_source(int at, int length, BleedMethod method) {
    if (method != mirror) {
        return at < 0 ? 0 : at >= length ? length - 1 : at;
    }
    while (at < 0 || at >= length) {
        at = at < 0 ? -1 - at : 2 * length - 1 - at;
    }
    return at;
}

Image plain_bleed(const Image& card, const Bleed& p) {
    const int w = card.width();
    const int h = card.height();
    Image result(w + p.amount.left + p.amount.right, h + p.amount.top + p.amount.bottom,
                 card.encoding(), card.ppi());
    for (int y = 0; y < result.height(); ++y) {
        for (int x = 0; x < result.width(); ++x) {
            const int ax = x - p.amount.left;
            const int ay = y - p.amount.top;
            const int sx = plain_source(ax, w, ax < 0 ? p.method.left : p.method.right);
            const int sy = plain_source(ay, h, ay < 0 ? p.method.top : p.method.bottom);
            for (int c = 0; c < card.channels(); ++c) {
                result.row(y)[x * card.channels() + c] = card.row(sy)[sx * card.channels() + c];
            }
        }
    }
    return result;
}

}  // namespace

TEST_CASE("bleed continues the row 10 12 14 16 18 20 as published") {
    // check values, seam measures: replicate 20 20 20, reflect with the edge repeated 20 18 16.
    Image row(6, 1, Encoding::gray);
    for (int x = 0; x < 6; ++x) row.row(0)[x] = static_cast<std::uint8_t>(10 + 2 * x);
    const Image repeated = bleed(row, {{0, 3, 0, 0}, {}});
    const Image reflected = bleed(row, {{0, 3, 0, 0}, {replicate, mirror, replicate, replicate}});
    for (int x = 0; x < 3; ++x) {
        CHECK(repeated.row(0)[6 + x] == 20);
        CHECK(reflected.row(0)[6 + x] == 20 - 2 * x);
    }
}

TEST_CASE("bleed equals the plain definition for odd sizes, methods, cuts and encodings") {
    test::Dice dice(7);
    for (const Encoding encoding : {Encoding::srgb, Encoding::gray, Encoding::bilevel}) {
        for (int round = 0; round < 60; ++round) {
            const int w = dice.between(1, 33);
            const int h = dice.between(1, 33);
            const auto method = [&] { return dice.next() & 1U ? mirror : replicate; };
            const Bleed p{{dice.between(-(h - 1) / 2, 70), dice.between(-(w - 1) / 2, 40),
                           dice.between(-(h - 1) / 2, 40), dice.between(-(w - 1) / 2, 70)},
                          {method(), method(), method(), method()}};
            CAPTURE(round);
            const Image card = test::noise(w, h, encoding, dice.next());
            CHECK(bleed(card, p) == plain_bleed(card, p));
        }
    }
}

TEST_CASE("bleed of nothing gives the card back, and the card inside the bleed is untouched") {
    const Image card = test::noise(31, 17, Encoding::srgb, 3);
    CHECK(bleed(card, {}) == card);
    const Image wide = bleed(card, {{5, 6, 7, 8}, {mirror, replicate, mirror, replicate}});
    CHECK(crop(wide, {8, 5, 31, 17}) == card);
    CHECK(wide.ppi().value == 300.0);
}

TEST_CASE("bleed refuses amounts that mean nothing") {
    const Image card(10, 10, Encoding::gray);
    CHECK_THROWS_AS((void)bleed(card, {{0, -5, 0, -5}, {}}), Error);
    CHECK_THROWS_AS((void)bleed(card, {{30'000, 0, 0, 0}, {}}), Error);
}
