// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/lighten.h"

#include <doctest/doctest.h>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::coverage;
using filters::lighten;

TEST_CASE("coverage is the mean nominal tone value") {
    // Ghostscript 10.00.0, ink_cov of 0.5 g on half the page at 72 dpi: 24.90196 % (check values,
    // section 6); the code of 0.5 is 128, printed as 127/255.
    Image half(100, 100, Encoding::gray);
    for (int y = 0; y < 100; ++y) {
        for (int x = 0; x < 50; ++x) half.row(y)[x] = 128;
    }
    CHECK(coverage(half) == doctest::Approx(0.2490196).epsilon(1e-6));
    CHECK(coverage(half, {50, 0, 50, 100}) == 0.0);
    CHECK_THROWS_AS((void)coverage(Image(2, 2, Encoding::srgb)), Error);
}

TEST_CASE("lighten meets every budget within 0.002, and comes close where lines or tones allow") {
    const Image card = test::soft_card(240, 320, Encoding::gray);
    for (const double budget : {0.40, 0.25, 0.12, 0.08, 0.04, 0.01, 0.0}) {
        CAPTURE(budget);
        CHECK(coverage(lighten(card, {.ink_budget = budget})) <= budget + 0.002);
    }
    CHECK(coverage(lighten(card, {.ink_budget = 0.50})) >= 0.45);
    CHECK(coverage(lighten(card, {.ink_budget = 0.02})) >= 0.015);
}

TEST_CASE("a little room in the budget is not filled with a gray film: even grounds are paper") {
    Image card = test::flat(300, 400, 60);
    for (int y = 150; y < 250; ++y) {
        for (int x = 100; x < 200; ++x) card.row(y)[x] = 200;
    }
    const Image result = lighten(card, {.ink_budget = 0.12});
    CHECK(result.row(20)[20] == 255);
    CHECK(result.row(200)[150] == 255);
    CHECK(result.row(200)[98] < 140);
}

TEST_CASE("lighten spends nothing where paper is asked for") {
    const Image card = test::soft_card(240, 320, Encoding::gray);
    Image paper(240, 320, Encoding::gray);
    for (int y = 0; y < 320; ++y) {
        for (int x = 0; x < 240; ++x) paper.row(y)[x] = x < 120 ? 255 : 0;
    }
    const Image result = lighten(card, {.ink_budget = 0.05, .paper = &paper});
    CHECK(coverage(result, {0, 0, 120, 320}) == 0.0);
    CHECK(coverage(result) <= 0.052);
    CHECK(coverage(result, {120, 0, 120, 320}) > 0.05);
}

TEST_CASE("lighten leaves a card within its budget alone, at 100 % whatever it is") {
    const Image card = test::soft_card(64, 90, Encoding::gray);
    CHECK(lighten(card, {.ink_budget = 1.0}) == card);
    CHECK(lighten(card, {.ink_budget = coverage(card) + 1e-9}) == card);
    const Image paper = test::flat(33, 15, 255);
    CHECK(lighten(paper, {.ink_budget = 0.0}) == paper);
}

TEST_CASE(
    "a ground of hardly any ink is paper where that is asked for, tones above keep their order") {
    // By hand, of 5 %: 13 codes of ink are none, and 13 * 2.8 = 36 are as they were.
    Image ramp(256, 1, Encoding::gray);
    for (int x = 0; x < 256; ++x) ramp.row(0)[x] = static_cast<std::uint8_t>(x);
    const Image plain = lighten(ramp, {.ink_budget = 1.0});
    CHECK(plain == ramp);
    const Image clean = lighten(ramp, {.ink_budget = 1.0, .clean = 0.05});
    for (int x = 242; x < 256; ++x) CHECK(clean.row(0)[x] == 255);
    for (int x = 0; x < 219; ++x) CHECK(clean.row(0)[x] == x);
    CHECK(clean.row(0)[230] > 230);
    for (int x = 1; x < 256; ++x) CHECK(clean.row(0)[x] >= clean.row(0)[x - 1]);
    CHECK_THROWS_AS((void)lighten(ramp, {.clean = 0.3}), Error);
}

TEST_CASE("lighten never makes a pixel darker and keeps white") {
    for (const int size : {1, 2, 15, 31, 32, 33}) {
        CAPTURE(size);
        Image card = test::noise(size, size + 3, Encoding::gray, 5);
        card.row(0)[0] = 255;
        const Image before = card;
        const Image result = lighten(card, {.ink_budget = 0.1});
        CHECK(card == before);
        CHECK(result.row(0)[0] == 255);
        for (std::size_t i = 0; i < card.bytes().size(); ++i) {
            REQUIRE(result.bytes()[i] >= card.bytes()[i]);
        }
    }
}

TEST_CASE("lighten keeps letters darker than their ground when the ground goes to paper") {
    const Image card = test::soft_card(240, 320, Encoding::gray);
    const Image result = lighten(card, {.ink_budget = 0.10});
    double letters = 0;
    double ground = 0;
    int letter_count = 0;
    int ground_count = 0;
    for (int y = 200; y < 320; ++y) {
        for (int x = 0; x < 240; ++x) {
            const bool letter = card.row(y)[x] == 20;
            (letter ? letters : ground) += result.row(y)[x];
            ++(letter ? letter_count : ground_count);
        }
    }
    REQUIRE(letter_count > 0);
    CHECK(ground / ground_count - letters / letter_count > 40.0);
}

TEST_CASE("lighten measures coverage where it is told to") {
    Image card = test::flat(100, 100, 255);
    for (int y = 0; y < 100; ++y) {
        for (int x = 0; x < 50; ++x) card.row(y)[x] = 60;
    }
    CHECK(coverage(lighten(card, {.ink_budget = 0.3, .area = {0, 0, 50, 100}}), {0, 0, 50, 100}) <=
          0.302);
    CHECK(lighten(card, {.ink_budget = 0.3, .area = {50, 0, 50, 100}}) == card);
}

TEST_CASE("lighten refuses color and values outside its limits, naming the field") {
    CHECK_THROWS_AS((void)lighten(Image(4, 4, Encoding::srgb)), Error);
    try {
        (void)lighten(Image(4, 4, Encoding::gray), {.ink_budget = 1.4});
        FAIL("a budget of 1.4 was taken");
    } catch (const Error& error) {
        CHECK(std::string(error.what()) ==
              "ink-budget: expected 0.000 to 1.000 (share of area), got 1.400");
    }
}
