// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/deck_patterns.h"

#include <doctest/doctest.h>

using namespace paleproof;
using plan::ColorCluster;
using plan::deck_patterns;
using plan::DeckPalette;

namespace {

ColorCluster cluster(color::Rgb8 color, double share, survey::AreaKind kind, std::size_t face) {
    ColorCluster result;
    result.color = color;
    result.lab = color::lab(color);
    result.share = share;
    result.places = {{face, color, kind, {0, 0, 40, 40}, {10, 10, 20, 20}, share}};
    return result;
}

DeckPalette palette_of(survey::AreaKind kind) {
    DeckPalette palette;
    palette.clusters = {cluster({200, 30, 40}, 0.2, kind, 0), cluster({40, 140, 60}, 0.1, kind, 1),
                        cluster({60, 80, 200}, 0.05, kind, 1)};
    palette.pairs = {{.a = 0, .b = 1, .faces = 2, .witnesses = {{0, 0}}}};
    return palette;
}

}  // namespace

TEST_CASE("colors of telling pairs get a pattern where they are, others none") {
    const auto patterns = deck_patterns(palette_of(survey::AreaKind::symbol), 3);
    REQUIRE(patterns.faces.size() == 3);
    REQUIRE(patterns.faces[0].size() == 1);
    CHECK(patterns.faces[0][0].pattern.label == "red");
    CHECK(patterns.faces[0][0].places.size() == 1);
    REQUIRE(patterns.faces[1].size() == 1);
    CHECK(patterns.faces[1][0].pattern.label == "green");
    CHECK(patterns.faces[2].empty());
    REQUIRE(patterns.legend.size() == 2);
    CHECK(patterns.legend[0].label == "red");
    CHECK(patterns.legend[1].label == "green");
}

TEST_CASE("rules and letters get no pattern") {
    CHECK(deck_patterns(palette_of(survey::AreaKind::rule), 2).legend.empty());
    CHECK(deck_patterns(palette_of(survey::AreaKind::text), 2).legend.empty());
}

TEST_CASE("dark colors, and pairs seen much less often than others, get none") {
    DeckPalette palette = palette_of(survey::AreaKind::symbol);
    palette.clusters[0] = cluster({60, 10, 20}, 0.5, survey::AreaKind::symbol, 0);
    CHECK(deck_patterns(palette, 2).legend.empty());
    palette = palette_of(survey::AreaKind::symbol);
    palette.pairs[0].faces = 10;
    palette.pairs.push_back({.a = 1, .b = 2, .faces = 3, .witnesses = {{0, 0}}});
    CHECK(deck_patterns(palette, 2).legend.size() == 2);
    palette.pairs[1].faces = 4;
    CHECK(deck_patterns(palette, 2).legend.size() == 3);
}

TEST_CASE("pairs side by side on one face count where no pair shares a place") {
    DeckPalette palette = palette_of(survey::AreaKind::symbol);
    palette.pairs[0].relation = plan::Relation::side_by_side;
    CHECK(deck_patterns(palette, 2).legend.size() == 2);
    palette.pairs.push_back({.a = 1, .b = 2, .faces = 2, .witnesses = {{0, 0}}});
    const auto patterns = deck_patterns(palette, 2);
    REQUIRE(patterns.legend.size() == 2);
    CHECK(patterns.legend[0].label == "green");
}

TEST_CASE("an empty palette has no patterns") {
    CHECK(deck_patterns({}, 4).faces.size() == 4);
    CHECK(deck_patterns({}, 4).legend.empty());
}
