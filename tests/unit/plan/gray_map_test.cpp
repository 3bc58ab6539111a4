// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/gray_map.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <vector>

#include "color/difference.h"
#include "core/error.h"
#include "plan/deck_colors.h"
#include "plan/tone_field.h"
#include "plan/tone_layout.h"
#include "unit/plan/drawn_deck.h"

using namespace paleproof;
using namespace paleproof::plan;
using namespace paleproof::test;

namespace {

constexpr color::Rgb8 bloom{0xdc, 0x5d, 0x5e}, thorn{0x52, 0x95, 0x50};
constexpr color::Rgb8 lantern{0xfa, 0xbc, 0x4e}, dusk{0x98, 0xa1, 0xea};

double printed(const color::GrayTable& map, color::Rgb8 c) {
    return color::lightness_of_gray(map(c));
}

/// A color of a wished L* and hue, as far as sRGB has it.
color::Rgb8 color_of(double lightness, double hue, double chroma) {
    color::Rgb8 best{};
    double least = 1e9;
    const double a = chroma * std::cos(hue), b = chroma * std::sin(hue);
    for (int r = 0; r < 256; r += 5) {
        for (int g = 0; g < 256; g += 5) {
            for (int bl = 0; bl < 256; bl += 5) {
                const color::Rgb8 c{static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g),
                                    static_cast<std::uint8_t>(bl)};
                const color::Lab lab = color::lab(c);
                const double d = std::hypot(3.0 * (lab.l - lightness), lab.a - a, lab.b - b);
                if (d < least) {
                    least = d;
                    best = c;
                }
            }
        }
    }
    return best;
}

std::vector<survey::Neighbors> painted_neighbors(unsigned seed) {
    std::mt19937 random(seed);
    std::vector<survey::Neighbors> pairs;
    for (int i = 0; i < 3000; ++i) {
        const auto v = [&] { return static_cast<std::uint8_t>(random() % 256U); };
        const color::Rgb8 a{v(), v(), v()};
        const auto near = [&](std::uint8_t c) {
            return static_cast<std::uint8_t>(
                std::clamp(static_cast<int>(c) + static_cast<int>(random() % 41U) - 20, 0, 255));
        };
        pairs.push_back({a, {near(a.r), near(a.g), near(a.b)}});
    }
    return pairs;
}

}  // namespace

TEST_CASE("the gray map sets suits of one lightness apart and leaves the others clear") {
    const auto deck = suit_deck({lantern, bloom, thorn, dusk}, 3);
    const DeckPalette palette = deck_palette(deck);
    const color::GrayTable map = gray_map(palette, art_tones(deck), {});
    const std::array suits{lantern, bloom, thorn, dusk};
    for (std::size_t i = 0; i < suits.size(); ++i) {
        for (std::size_t j = i + 1; j < suits.size(); ++j) {
            CAPTURE(i);
            CAPTURE(j);
            CHECK(std::abs(printed(map, suits[i]) - printed(map, suits[j])) >= 10.0);
        }
    }
    CHECK(gray_twins(palette, {}, [&](color::Rgb8 c) { return printed(map, c); }).empty());
    CHECK(printed(map, lantern) > printed(map, dusk));
}

TEST_CASE("neutrals are untouched by any gray map, in order and to the code") {
    const auto deck = suit_deck({bloom, thorn, dusk}, 2);
    const color::GrayTable map = gray_map(deck_palette(deck), art_tones(deck), {});
    for (int v = 0; v < 256; ++v) {
        const auto code = static_cast<std::uint8_t>(v);
        CHECK(map(code, code, code) == code);
    }
}

TEST_CASE("eight suits of one lightness all stay ten L* apart while a free range exists") {
    // The Okabe-Ito colors without black: orange and sky blue are 0.8 L* apart, and more pairs
    // are under 10; black to white is range enough for seven tones.
    const std::vector<color::Rgb8> okabe{{0xe6, 0x9f, 0x00}, {0x56, 0xb4, 0xe9}, {0x00, 0x9e, 0x73},
                                         {0xf0, 0xe4, 0x42}, {0x00, 0x72, 0xb2}, {0xd5, 0x5e, 0x00},
                                         {0xcc, 0x79, 0xa7}};
    // And six hues of L* 55.
    std::vector<color::Rgb8> level;
    for (int i = 0; i < 6; ++i) level.push_back(color_of(55.0, i * 1.047, 45.0));
    for (const auto& suits : {okabe, level}) {
        const auto deck = suit_deck(suits, 2);
        const DeckPalette palette = deck_palette(deck);
        REQUIRE_FALSE(gray_twins(palette, {}).empty());
        const color::GrayTable map = gray_map(palette, art_tones(deck), {});
        for (std::size_t i = 0; i < suits.size(); ++i) {
            for (std::size_t j = i + 1; j < suits.size(); ++j) {
                CAPTURE(i);
                CAPTURE(j);
                CAPTURE(printed(map, suits[i]));
                CAPTURE(printed(map, suits[j]));
                CHECK(std::abs(printed(map, suits[i]) - printed(map, suits[j])) >= 10.0);
            }
        }
    }
}

TEST_CASE("pinned colors get their gray to the code, on any deck") {
    const auto deck = suit_deck({bloom, thorn, dusk}, 2);
    const std::vector<GrayPin> pins{{bloom, 0.25}, {{0x20, 0x60, 0xa0}, 0.7}};
    const color::GrayTable map = gray_map(deck_palette(deck), art_tones(deck), {}, pins);
    CHECK(std::abs(map(bloom) - 0.25 * 255.0) <= 1.0);
    CHECK(std::abs(map(pins[1].color) - 0.7 * 255.0) <= 1.0);
    CHECK(std::abs(printed(map, bloom) - printed(map, thorn)) >= 10.0);
    const color::GrayTable alone = gray_map({}, ToneField(), {}, pins);
    CHECK(std::abs(alone(bloom) - 0.25 * 255.0) <= 1.0);
}

TEST_CASE("a pinned gray and pins that contradict each other are refused") {
    const auto refused = [](std::vector<GrayPin> pins) {
        try {
            (void)gray_map({}, ToneField(), {}, pins);
        } catch (const Error& fault) {
            return std::string(fault.what());
        }
        return std::string();
    };
    CHECK(refused({{{128, 128, 128}, 0.2}}).find("#808080") != std::string::npos);
    CHECK(refused({{bloom, 0.2}, {bloom, 0.8}}).find("nearly one color") != std::string::npos);
    CHECK(refused({{bloom, 0.2}, {thorn, 0.8}}).empty());
}

TEST_CASE(
    "the gray map is smooth: no step of the table is steeper than 12 L*, and plain decks have "
    "the map of lightness") {
    auto deck = suit_deck({lantern, bloom, thorn, dusk}, 3);
    deck[0].palette.neighbors = painted_neighbors(5);
    const color::GrayTable map = gray_map(deck_palette(deck), art_tones(deck), {});
    double steepest = 0.0;
    const auto l = [&](int r, int g, int b) {
        return color::lightness(color::linear_of(std::min(1.0, map.node(r, g, b) / 255.0)));
    };
    constexpr int n = color::GrayTable::nodes;
    for (int r = 0; r + 1 < n; ++r) {
        for (int g = 0; g + 1 < n; ++g) {
            for (int b = 0; b + 1 < n; ++b) {
                const double here = l(r, g, b);
                steepest =
                    std::max({steepest, std::abs(l(r + 1, g, b) - here),
                              std::abs(l(r, g + 1, b) - here), std::abs(l(r, g, b + 1) - here)});
            }
        }
    }
    MESSAGE("steepest step: " << steepest << " L* in 8 codes");
    CHECK(steepest <= 12.0);
    CHECK(gray_map({}, {}, {}) == gray_map({}, {}, {}));
    const color::GrayTable plain = gray_map({}, {}, {});
    const color::GrayTable lightness;
    for (const color::Rgb8 c : {bloom, thorn, lantern, dusk, color::Rgb8{255, 255, 0}}) {
        CHECK(std::abs(plain(c) - lightness(c)) <= 1);
    }
}

TEST_CASE(
    "the tone field shows more of the contrasts of a painting than lightness, within its limits") {
    const auto pairs = painted_neighbors(7);
    const ToneField field(pairs);
    const auto shown = [&](bool shifted) {
        double sum = 0.0;
        for (const auto& pair : pairs) {
            const color::Lab a = color::lab(pair.a), b = color::lab(pair.b);
            const double gray = a.l - b.l + (shifted ? field.shift(a) - field.shift(b) : 0.0);
            sum += std::min({15.0, std::abs(gray), color::delta_e76(a, b)});
        }
        return sum / static_cast<double>(pairs.size());
    };
    CHECK(shown(true) > shown(false) + 0.1);
    for (int i = 0; i <= 100; i += 5) CHECK(field.shift({1.0 * i, 0.0, 0.0}) == 0.0);
    std::mt19937 random(3);
    for (int i = 0; i < 2000; ++i) {
        const auto v = [&] { return static_cast<std::uint8_t>(random() % 256U); };
        const color::Lab lab = color::lab({v(), v(), v()});
        CHECK(std::abs(field.shift(lab)) <= ToneField::most_shift + 1e-9);
        color::Lab lighter = lab;
        lighter.l = std::min(100.0, lab.l + 4.0);
        CHECK(lighter.l + field.shift(lighter) >= lab.l + field.shift(lab) - 1e-9);
    }
}

TEST_CASE("a color more on one face leaves the gray of a deck as it is") {
    auto deck = suit_deck({lantern, bloom, thorn, dusk}, 3);
    for (auto& face : deck) face.palette.neighbors = painted_neighbors(5);
    const color::GrayTable map = gray_map(deck_palette(deck), art_tones(deck), {});
    // A sign of its own, and the color of a pennant off by what storage does.
    deck[4].palette.areas.push_back({.color = {0x20, 0x90, 0xa0},
                                     .kind = survey::AreaKind::symbol,
                                     .box_px = {300, 700, 90, 90},
                                     .core_px = {310, 710, 60, 60},
                                     .area = 8100.0,
                                     .share = 0.01});
    deck[4].palette.areas[0].color.r += 1;
    CHECK(gray_map(deck_palette(deck), art_tones(deck), {}) == map);
}

TEST_CASE("the map of an earlier edition is carried on, to the bit, while it tells colors apart") {
    auto deck = suit_deck({lantern, bloom, thorn, dusk}, 3);
    deck[0].palette.neighbors = painted_neighbors(5);
    const color::GrayTable earlier = gray_map(deck_palette(deck), art_tones(deck), {});
    // Other art, and a suit more that nothing is near to.
    deck[0].palette.neighbors = painted_neighbors(6);
    REQUIRE_FALSE(gray_map(deck_palette(deck), art_tones(deck), {}) == earlier);
    const auto more = suit_deck({lantern, bloom, thorn, dusk, {0x30, 0x20, 0x10}}, 3);
    CHECK(gray_map(deck_palette(more), earlier, {}) == earlier);
    // A suit that it cannot tell from another: dusk's gray, in another hue.
    const color::Rgb8 twin = color_of(printed(earlier, dusk), 1.2, 40.0);
    const auto merged = suit_deck({lantern, bloom, thorn, dusk, twin}, 3);
    const DeckPalette palette = deck_palette(merged);
    const auto twins_in = [&](const color::GrayTable& map) {
        return gray_twins(palette, {}, [&](color::Rgb8 c) { return printed(map, c); }).size();
    };
    REQUIRE(twins_in(earlier) > 0);
    const color::GrayTable moved = gray_map(palette, earlier, {});
    CHECK(twins_in(moved) == 0);
    CHECK(gray_map(palette, moved, {}) == moved);
    // What no map of the deck sets apart does not move it.
    const TwinLimits wide{.min_gray_difference = 60.0};
    const color::GrayTable best = gray_map(palette, earlier, wide);
    CHECK(gray_map(palette, best, wide) == best);
}

TEST_CASE("a gray table is made again from its units, and not from others") {
    const auto deck = suit_deck({bloom, thorn}, 1);
    const color::GrayTable map = gray_map(deck_palette(deck), art_tones(deck), {});
    const auto again = color::GrayTable::from_units(map.units());
    REQUIRE(again.has_value());
    CHECK(*again == map);
    CHECK((*again)(bloom) == map(bloom));
    std::vector<std::uint16_t> units(map.units().begin(), map.units().end());
    CHECK_FALSE(color::GrayTable::from_units({}).has_value());
    CHECK_FALSE(color::GrayTable::from_units(std::span(units).first(units.size() - 1)).has_value());
    units[5] = 256 * color::GrayTable::one + 1;
    CHECK_FALSE(color::GrayTable::from_units(units).has_value());
    units[5] = 0;
    CHECK(color::GrayTable::from_units(units).has_value());
    units.back() -= 1;  // white is no longer white
    CHECK_FALSE(color::GrayTable::from_units(units).has_value());
}

TEST_CASE("of all tones only those move that are too near, and what is in their way") {
    using Wishes = std::vector<ToneWish>;
    using Gaps = std::vector<ToneGap>;
    // Two at one place; one far away that is bound to both; one that nothing binds.
    const auto far =
        tone_moves(Wishes{{50.0}, {50.0}, {90.0}, {51.0}},
                   Gaps{{0, 1, 12.0, false}, {2, 0, 10.0, true, 10.0}, {2, 1, 10.0, true, 10.0}});
    CHECK(std::abs(far.at[0] - far.at[1]) >= 11.99);
    CHECK(far.moved == std::vector<bool>{true, true, false, false});
    CHECK(far.at[2] == 90.0);
    CHECK(far.at[3] == 51.0);
    // Squeezed between two that would stay: they give way.
    const auto near =
        tone_moves(Wishes{{50.0}, {50.0}, {62.0}, {38.0}}, Gaps{{0, 1, 12.0, false},
                                                                {2, 0, 10.0, true, 10.0},
                                                                {2, 1, 10.0, true, 10.0},
                                                                {0, 3, 10.0, true, 10.0},
                                                                {1, 3, 10.0, true, 10.0}});
    CHECK(std::abs(near.at[0] - near.at[1]) >= 11.7);
    CHECK(near.at[2] - std::max(near.at[0], near.at[1]) >= 9.7);
    CHECK(std::min(near.at[0], near.at[1]) - near.at[3] >= 9.7);
    // Under its gap, but enough where nothing else moves.
    const auto enough = tone_moves(Wishes{{60.0}, {49.0}}, Gaps{{0, 1, 12.5, false, 10.0}});
    CHECK(enough.moved == std::vector<bool>{false, false});
}

TEST_CASE("the layout of tones keeps gaps, ranges and settled orders") {
    using Wishes = std::vector<ToneWish>;
    using Gaps = std::vector<ToneGap>;
    const auto two = tone_layout(Wishes{{50.0}, {50.0}}, Gaps{{0, 1, 12.0, false}});
    CHECK(std::abs(two[0] - two[1]) >= 11.99);
    CHECK(std::abs(two[0] + two[1] - 100.0) < 0.5);
    // One cannot move: the other goes all the way, also across it when that is nearer.
    const auto fixed = tone_layout(Wishes{{50.0, 50.0, 50.0}, {49.0}}, Gaps{{0, 1, 12.0, false}});
    CHECK(fixed[0] == 50.0);
    CHECK(std::abs(fixed[1] - 50.0) >= 11.99);
    const auto ordered = tone_layout(Wishes{{60.0}, {40.0}}, Gaps{{1, 0, 5.0, true}});
    CHECK(ordered[1] - ordered[0] >= 4.99);
    // No room for all: what is there is shared.
    const auto tight =
        tone_layout(Wishes{{50.0, 45.0, 55.0}, {50.0, 45.0, 55.0}}, Gaps{{0, 1, 30.0, false}});
    CHECK(std::abs(tight[0] - tight[1]) > 9.9);
    CHECK(tone_layout({}, {}).empty());
}
