// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/twins.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <vector>

#include "plan/color_sites.h"
#include "plan/deck_colors.h"
#include "plan/twin_report.h"
#include "unit/plan/drawn_deck.h"

using namespace paleproof;
using namespace paleproof::plan;
using namespace paleproof::test;

namespace {

bool names(const DeckPalette& palette, const TwinPair& twin, color::Rgb8 x, color::Rgb8 y) {
    const auto& pair = palette.pairs[twin.pair];
    const auto a = palette.clusters[pair.a].color, b = palette.clusters[pair.b].color;
    return (a == x && b == y) || (a == y && b == x);
}

// L* 56.0 both, 86 apart in CIELAB: the suits of the demo deck (fixtures/README.md).
constexpr color::Rgb8 bloom{0xdc, 0x5d, 0x5e}, thorn{0x52, 0x95, 0x50};
constexpr color::Rgb8 lantern{0xfa, 0xbc, 0x4e}, dusk{0x98, 0xa1, 0xea};

}  // namespace

TEST_CASE("suits at one place of different faces are told apart, once a pair") {
    const auto deck = suit_deck({lantern, bloom, thorn, dusk}, 3);
    const DeckPalette palette = deck_palette(deck);
    std::size_t suits = 0;
    for (const TellingPair& pair : palette.pairs) {
        suits += pair.relation == Relation::same_place ? 1 : 0;
        if (pair.relation == Relation::same_place) CHECK(pair.faces == 6);
    }
    CHECK(suits == 6);
}

TEST_CASE("a deck of thousands is planned like a small one, in time that grows with it") {
    const auto small = suit_deck({lantern, bloom, thorn, dusk}, 2);
    std::vector<survey::FaceSurvey> large;
    for (int i = 0; i < 500; ++i) large.insert(large.end(), small.begin(), small.end());
    const DeckPalette few = deck_palette(small);
    const DeckPalette many = deck_palette(large);
    REQUIRE(many.clusters.size() == few.clusters.size());
    REQUIRE(many.pairs.size() == few.pairs.size());
    for (std::size_t i = 0; i < few.pairs.size(); ++i) {
        CHECK(many.pairs[i].a == few.pairs[i].a);
        CHECK(many.pairs[i].b == few.pairs[i].b);
        CHECK(many.pairs[i].relation == few.pairs[i].relation);
        CHECK(many.pairs[i].faces == 500 * few.pairs[i].faces);
        CHECK(many.pairs[i].witnesses.size() <= most_witnesses);
    }
    // Each with each, this deck would have 8 million pairs of areas at one place.
    CHECK(color_sites(color_spots(large)).size() == color_sites(color_spots(small)).size());
}

TEST_CASE("suits of one lightness are gray twins and vision twins, other suits are none") {
    const auto deck = suit_deck({lantern, bloom, thorn, dusk}, 2);
    const DeckPalette palette = deck_palette(deck);
    const auto gray = gray_twins(palette, {});
    REQUIRE(gray.size() == 1);
    CHECK(names(palette, gray[0], bloom, thorn));
    CHECK(gray[0].difference < 0.1);
    CHECK(gray[0].limit == 10.0);

    // CIELAB distance 5.3 for deutan vision by fixtures/README.md; CIEDE2000 is at most that here.
    const auto vision = vision_twins(palette, {});
    REQUIRE(vision.size() == 1);
    CHECK(names(palette, vision[0], bloom, thorn));
    CHECK(vision[0].vision == color::Vision::deutan);
    CHECK(vision[0].difference > 3.0);
    CHECK(vision[0].difference < 5.3);
    REQUIRE(vision[0].cross_check);
    CHECK(*vision[0].cross_check < 15.0);
}

TEST_CASE("without severity there are no vision twins") {
    const auto deck = suit_deck({bloom, thorn}, 2);
    TwinLimits limits;
    limits.vision_severity = 0.0;
    CHECK(vision_twins(deck_palette(deck), limits).empty());
    limits.vision_severity = 1.1;
    CHECK_THROWS((void)vision_twins(deck_palette(deck), limits));
}

TEST_CASE("the Okabe-Ito palette passes for color vision and fails in gray for two of its colors") {
    // Okabe and Ito, Color universal design, 2008: made to be told apart by all. Smallest
    // CIEDE2000 under Machado 2009: 11.13. L* of orange 70.6 and of sky blue 69.8 all but equal.
    constexpr color::Rgb8 orange{0xe6, 0x9f, 0x00}, sky{0x56, 0xb4, 0xe9};
    const auto deck = suit_deck({{0, 0, 0},
                                 orange,
                                 sky,
                                 {0x00, 0x9e, 0x73},
                                 {0xf0, 0xe4, 0x42},
                                 {0x00, 0x72, 0xb2},
                                 {0xd5, 0x5e, 0x00},
                                 {0xcc, 0x79, 0xa7}},
                                2);
    const DeckPalette palette = deck_palette(deck);
    CHECK(vision_twins(palette, {}).empty());
    const auto gray = gray_twins(palette, {});
    REQUIRE_FALSE(gray.empty());
    CHECK(std::ranges::any_of(gray,
                              [&](const TwinPair& t) { return names(palette, t, orange, sky); }));
    for (std::size_t i = 1; i < gray.size(); ++i) {
        CHECK(gray[i].difference >= gray[i - 1].difference - 0.005);
    }
}

TEST_CASE("signs in a row and the two heads of one face are side by side") {
    Face face = plain_face("row");
    fill(face.image, {200, 500, 60, 60}, bloom);
    fill(face.image, {290, 500, 60, 60}, thorn);
    const std::vector deck{surveyed(face)};
    const auto twins = gray_twins(deck_palette(deck), {});
    REQUIRE(twins.size() == 1);
    CHECK(deck_palette(deck).pairs[twins[0].pair].relation == Relation::side_by_side);

    Face heads = plain_face("heads");
    fill(heads.image, {40, 40, 90, 200}, bloom);
    fill(heads.image, {744 - 130, 1040 - 240, 90, 200}, thorn);
    CHECK(gray_twins(deck_palette(std::vector{surveyed(heads)}), {}).size() == 1);
}

TEST_CASE("colors at unrelated places are no twins") {
    Face one = plain_face("one"), two = plain_face("two");
    fill(one.image, {60, 60, 90, 120}, bloom);
    fill(two.image, {500, 700, 40, 40}, thorn);
    const std::vector deck{surveyed(one), surveyed(two)};
    CHECK(gray_twins(deck_palette(deck), {}).empty());
    CHECK(vision_twins(deck_palette(deck), {}).empty());
}

TEST_CASE("the pips that merge with the pennants of the same faces are named with them") {
    auto deck = suit_deck({bloom, thorn}, 3, /*pips=*/true);
    const DeckPalette palette = deck_palette(deck);
    const auto twins = gray_twins(palette, {});
    REQUIRE(twins.size() == 1);
    CHECK(names(palette, twins[0], bloom, thorn));
    CHECK(twins[0].also.size() == 1);
}

TEST_CASE("small areas are no twins where a larger code of the deck tells their faces apart") {
    // Pips of one lightness on the faces of two suits whose pennants differ by 24 L*.
    constexpr color::Rgb8 red{0xdc, 0x5d, 0x5e}, green{0x52, 0x95, 0x50};
    const auto deck = [&](std::initializer_list<std::pair<color::Rgb8, color::Rgb8>> faces) {
        std::vector<survey::FaceSurvey> result;
        for (const auto& [pennant, pip] : faces) {
            Face face = plain_face("face " + std::to_string(result.size() + 1));
            fill(face.image, {40, 0, 106, 200}, pennant);
            fill(face.image, {640, 60, 40, 40}, pip);
            result.push_back(surveyed(face));
        }
        return deck_palette(result);
    };
    CHECK(gray_twins(deck({{lantern, red}, {lantern, red}, {bloom, green}, {bloom, green}}), {})
              .empty());
    // A code of its own, as both pips stand on faces of both suits.
    const DeckPalette own =
        deck({{lantern, red}, {lantern, green}, {dusk, red}, {dusk, green}, {dusk, red}});
    const auto twins = gray_twins(own, {});
    REQUIRE(twins.size() == 1);
    CHECK(names(own, twins[0], red, green));
}

TEST_CASE("twins are told once a pair, with the places where their colors live") {
    const auto deck = suit_deck({lantern, bloom, thorn, dusk}, 3);
    const DeckColors colors = deck_colors(deck, {});
    std::vector<Twin> told = told_twins(colors, deck);
    REQUIRE(told.size() == 2);
    CHECK(told[0].rule == Rule::gray_twins);
    CHECK(told[1].rule == Rule::vision_twins);
    CHECK(told[1].vision == "deutan");
    CHECK(std::set{told[0].a, told[0].b} == std::set<std::string>{"#dc5d5e", "#529550"});
    CHECK(told[0].where ==
          "symbol at the top left of face 4 and 2 more faces against face 7 and 2 "
          "more faces");
    REQUIRE(told[0].places_a.size() == 3);
    CHECK(told[0].places_a[1].face == "face 5");
    CHECK(told[0].places_a[1].box_px == RectPx{40, 0, 106, 200});

    auto findings = twin_findings(told);
    REQUIRE(findings.size() == 2);
    CHECK(findings[0].severity == Severity::warning);
    CHECK(findings[0].face.empty());
    CHECK(findings[0].unit == "L*");
    told[0].proof_difference = 12.0;
    findings = twin_findings(told);
    CHECK(findings[0].severity == Severity::note);
    CHECK(findings[1].severity == Severity::warning);
}

TEST_CASE("twins of one face alone are a finding of that face") {
    Face row = plain_face("row");
    fill(row.image, {200, 500, 60, 60}, bloom);
    fill(row.image, {290, 500, 60, 60}, thorn);
    const std::vector deck{surveyed(row)};
    const auto findings = twin_findings(told_twins(deck_colors(deck, {}), deck));
    REQUIRE(findings.size() == 2);
    CHECK(findings[0].face == "row");
    CHECK(findings[0].box_px == RectPx{200, 500, 150, 60});
}

TEST_CASE("a deck without faces, of one color, or of grays has no twins") {
    CHECK(deck_colors({}, {}).palette.clusters.empty());
    const std::vector one{surveyed(plain_face("one"))};
    CHECK(deck_colors(one, {}).gray_twins.empty());
    const auto grays = suit_deck({{90, 90, 90}, {100, 100, 100}, {60, 60, 60}}, 2);
    const DeckColors colors = deck_colors(grays, {});
    CHECK(colors.gray_twins.empty());
    CHECK(colors.vision_twins.empty());
    CHECK(colors.needs_pattern.empty());
}
