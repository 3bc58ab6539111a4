// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/bleed.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>

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
    // check values, seam measures: stretch 20 20 20, reflect with the edge repeated 20 18 16.
    Image row(6, 1, Encoding::gray);
    for (int x = 0; x < 6; ++x) row.row(0)[x] = static_cast<std::uint8_t>(10 + 2 * x);
    const Image repeated = bleed(row, {{0, 3, 0, 0}, {}});
    const Image reflected = bleed(row, {{0, 3, 0, 0}, {stretch, mirror, stretch, stretch}});
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
            const auto method = [&] { return dice.next() & 1U ? mirror : stretch; };
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
    const Image wide = bleed(card, {{5, 6, 7, 8}, {mirror, stretch, mirror, stretch}});
    CHECK(crop(wide, {8, 5, 31, 17}) == card);
    CHECK(wide.ppi().value == 300.0);
}

TEST_CASE("bleed refuses amounts that mean nothing") {
    const Image card(10, 10, Encoding::gray);
    CHECK_THROWS_AS((void)bleed(card, {{0, -5, 0, -5}, {}}), Error);
    CHECK_THROWS_AS((void)bleed(card, {{30'000, 0, 0, 0}, {}}), Error);
}

TEST_CASE(
    "a border that darkens toward its frame is reflected as far as it is even, noise and all") {
    // As a gray proof shades it: even, then a halo of the frame from 14 px inward.
    test::Dice dice(11);
    Image card(200, 160, Encoding::gray, Ppi{300});
    for (int y = 0; y < 160; ++y) {
        for (int x = 0; x < 200; ++x) {
            const int in = std::min({x, y, 199 - x, 159 - y});
            const int halo = in < 14 ? 0 : std::min(120, (in - 13) * 20);
            card.row(y)[x] = static_cast<std::uint8_t>(228 + dice.between(-4, 4) - halo);
        }
    }
    filters::Bleed p{{40, 40, 40, 40}, {flat, flat, flat, flat}};
    p.border = {22, 22, 22, 22};
    const Image made = bleed(card, p);
    bool noisy = false;
    for (int y = 0; y < made.height(); ++y) {
        for (int x = 0; x < made.width(); ++x) {
            const bool outside = x < 40 || y < 40 || x >= 240 || y >= 200;
            if (!outside) continue;
            // 20 codes are the first step of the halo.
            CHECK(std::abs(made.row(y)[x] - 228) < 12);
            noisy = noisy || std::abs(made.row(y)[x] - 228) > 1;
        }
    }
    CHECK(noisy);
}

TEST_CASE("letters near an edge do not appear in the bleed, and the card stays as it is") {
    for (const Encoding encoding : {Encoding::srgb, Encoding::gray, Encoding::bilevel}) {
        Image card(120, 90, encoding, Ppi{300});
        const std::uint8_t ground = encoding == Encoding::bilevel ? 255 : 190;
        for (std::uint8_t& byte : card.bytes()) byte = ground;
        for (int y = 8; y < 24; ++y) {
            for (int x = 20; x < 100; ++x) {
                if ((x / 4) % 2 == 0) continue;
                for (int c = 0; c < card.channels(); ++c) card.row(y)[x * card.channels() + c] = 0;
            }
        }
        for (const BleedMethod method : {carry, mirror, stretch}) {
            filters::Bleed p{{30, 30, 30, 30}, {method, method, method, method}};
            p.text = {{18, 5, 84, 22}};
            const Image made = bleed(card, p);
            for (int y = 0; y < made.height(); ++y) {
                for (int x = 0; x < made.width(); ++x) {
                    const bool inside = x >= 30 && x < 150 && y >= 30 && y < 120;
                    const std::uint8_t wanted =
                        inside ? card.row(y - 30)[(x - 30) * card.channels()] : ground;
                    REQUIRE(std::abs(made.row(y)[x * made.channels()] - wanted) <=
                            (inside ? 0 : 1));
                }
            }
        }
    }
}
