// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/ink_cost.h"

#include <doctest/doctest.h>

using namespace paleproof;
using namespace paleproof::report;

namespace {

FaceResult face(const std::string& name, int copies, InkUse source, InkUse proof) {
    FaceResult result;
    result.name = name;
    result.copies = copies;
    result.placement.trim = {{63.0}, {88.0}};
    result.source_ink = source;
    result.proof_ink = proof;
    return result;
}

/// The worked example of docs/units.md: 54 cards of 63 x 88 mm.
EditionResult worked_example() {
    EditionResult edition;
    edition.faces = {face("front", 54, {.c = 0.4, .m = 0.5, .y = 0.3, .k = 0.2, .total = 1.4},
                          {.k = 0.12, .total = 0.12})};
    edition.cartridges = {{"k", 20.0, 480.0}, {"cmy", 24.0, 300.0}};
    return edition;
}

}  // namespace

TEST_CASE("the worked example of page yield in docs/units.md") {
    // One rated page is 5 % of 210 x 297 mm: 3118.5 mm2 of solid ink. The deck has 54 x 63 x 88 =
    // 299376 mm2, which is 96 rated pages for a coverage of 1.
    const InkCost cost = ink_cost(worked_example());
    CHECK(rated_page_mm2 == doctest::Approx(3118.5));
    CHECK(cost.source.ink_pages[0] == doctest::Approx(38.4));
    CHECK(cost.source.ink_pages[1] == doctest::Approx(48.0));
    CHECK(cost.source.ink_pages[2] == doctest::Approx(28.8));
    CHECK(cost.source.ink_pages[3] == doctest::Approx(19.2));
    CHECK(cost.source.pages == doctest::Approx(134.4));
    // Black 19.2 / 480 = 4 %: 0.80. Of the three colors magenta is empty first: 48 / 300 = 16
    // %: 3.84.
    REQUIRE(cost.source.cartridge_share.size() == 2);
    CHECK(cost.source.cartridge_share[0] == doctest::Approx(0.04));
    CHECK(cost.source.cartridge_share[1] == doctest::Approx(0.16));
    CHECK(cost.source.money == doctest::Approx(4.64));
    CHECK(cost.source.face_money[0] * 54 == doctest::Approx(4.64));
    REQUIRE(cost.proof);
    CHECK(cost.proof->pages == doctest::Approx(11.52));
    CHECK(cost.proof->cartridge_share[0] == doctest::Approx(0.024));
    CHECK(cost.proof->money == doctest::Approx(0.48));
    const auto deck = deck_cost(worked_example(), "EUR");
    REQUIRE(deck);
    CHECK(deck->source == doctest::Approx(4.64));
    CHECK(deck->proof.value() == doctest::Approx(0.48));
}

TEST_CASE("faces share the deck's ink by area, coverage and copies; backs count for each card") {
    EditionResult edition;
    edition.faces = {face("light", 1, {.k = 0.1, .total = 0.1}, {.k = 0.01, .total = 0.01}),
                     face("dark", 2, {.k = 0.8, .total = 0.8}, {.k = 0.02, .total = 0.02}),
                     face("back", 0, {.k = 0.5, .total = 0.5}, {.k = 0.5, .total = 0.5})};
    edition.faces[0].back = edition.faces[1].back = "back";
    const InkCost cost = ink_cost(edition);
    // 0.1 + 2 x 0.8 + 3 x 0.5 = 3.2
    CHECK(cost.source.face_share[0] == doctest::Approx(0.1 / 3.2));
    CHECK(cost.source.face_share[1] == doctest::Approx(1.6 / 3.2));
    CHECK(cost.source.face_share[2] == doctest::Approx(1.5 / 3.2));
    CHECK(by_ink(edition, cost) == std::vector<std::size_t>{2, 1, 0});
    CHECK_FALSE(cost.priced);
    CHECK(cost.unpriced == "k");
    CHECK_FALSE(deck_cost(edition, "EUR"));
}

TEST_CASE("the money of all printed sides is the money of the deck") {
    EditionResult edition = worked_example();
    edition.faces.push_back(
        face("other", 3, {.c = 0.9, .y = 0.7, .k = 0.1, .total = 1.7}, {.k = 0.3, .total = 0.3}));
    const InkCost cost = ink_cost(edition);
    const double sum = 54 * cost.source.face_money[0] + 3 * cost.source.face_money[1];
    CHECK(sum == doctest::Approx(cost.source.money));
    edition.faces[1].readable = false;
    edition.faces[1].source_ink.reset();
    CHECK(ink_cost(edition).source.face_pages[1] == 0.0);
}
