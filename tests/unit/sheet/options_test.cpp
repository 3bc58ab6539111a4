// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// What a job may choose for its sheets: orders, backs, guides, gutters.
#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <random>
#include <string>
#include <vector>

#include "page_boxes.h"

using namespace paleproof;
using namespace paleproof::sheet;

namespace {

FaceShape inked(double ink) {
    FaceShape face = shape(poker);
    face.ink = ink;
    return face;
}

std::vector<std::size_t> fronts(const Imposition& imposition) {
    std::vector<std::size_t> faces;
    for (const SheetPage& page : imposition.pages) {
        if (page.side != Side::front) continue;
        for (const Place& place : page.places) faces.push_back(place.face);
    }
    return faces;
}

}  // namespace

TEST_CASE("packed brings equal cards together, deck keeps the order of the list") {
    const std::vector<FaceShape> faces(3, shape(poker));
    const std::vector<Card> cards{{0, {}, 2}, {1, {}, 1}, {0, {}, 1}, {2, {}, 1}, {1, {}, 2}};
    CHECK(fronts(imposed("letter", faces, cards)) == std::vector<std::size_t>{0, 0, 1, 0, 2, 1, 1});
    CHECK(fronts(imposed("letter", faces, cards, {.order = Order::packed})) ==
          std::vector<std::size_t>{0, 0, 0, 1, 1, 1, 2});
}

TEST_CASE("even ink: no sheet takes more than in deck order, and none is far from the mean") {
    std::mt19937 random(3);
    for (int round = 0; round < 20; ++round) {
        std::vector<FaceShape> faces;
        std::vector<Card> cards;
        // Heavy faces first, as a deck with a suit of night scenes has them.
        const std::size_t heavy = 6 + random() % 8;
        for (std::size_t i = 0; i < 54; ++i) {
            const double noise = static_cast<double>(random() % 1000) / 10000.0;
            faces.push_back(inked(i < heavy ? 0.7 + noise : 0.05 + noise));
            cards.push_back({i, {}, 1});
        }
        const auto deck = imposed("letter", faces, cards);
        const auto even = imposed("letter", faces, cards, {.order = Order::even_ink});
        REQUIRE(even.sheet_ink.size() == 6);
        const double most_deck = *std::ranges::max_element(deck.sheet_ink);
        const double most_even = *std::ranges::max_element(even.sheet_ink);
        const double sum = std::accumulate(even.sheet_ink.begin(), even.sheet_ink.end(), 0.0);
        const double heaviest_face = 0.8 * 63.5 * 88.9 / (215.9 * 279.4);
        CHECK(sum ==
              doctest::Approx(std::accumulate(deck.sheet_ink.begin(), deck.sheet_ink.end(), 0.0)));
        CHECK(most_even <= most_deck + 1e-12);
        CHECK(most_even <= sum / 6.0 + heaviest_face);  // bound of Graham's rule
        CHECK(most_even < 0.7 * most_deck);
        auto placed = fronts(even);
        std::ranges::sort(placed);
        for (std::size_t i = 0; i < placed.size(); ++i) CHECK(placed[i] == i);
    }
}

TEST_CASE("even ink: a last sheet with few places is filled as its places allow") {
    std::vector<FaceShape> faces;
    std::vector<Card> cards;
    for (std::size_t i = 0; i < 11; ++i) {
        faces.push_back(inked(i < 3 ? 1.0 : 0.1));
        cards.push_back({i, {}, 1});
    }
    const auto even = imposed("letter", faces, cards, {.order = Order::even_ink});
    REQUIRE(even.sheets == 2);
    CHECK(even.pages[0].places.size() == 9);
    CHECK(even.pages[1].places.size() == 2);
    // Two heavy ones fit the two places of the second sheet.
    CHECK(even.sheet_ink[0] == doctest::Approx((1.0 + 0.8) * 63.5 * 88.9 / (215.9 * 279.4)));
}

TEST_CASE("light backs stand behind every front, and need no back in the deck") {
    const std::vector<FaceShape> faces(2, shape(poker));
    for (const Duplex duplex : {Duplex::none, Duplex::long_edge, Duplex::short_edge}) {
        const auto result = imposed("letter", faces, {{0, {}, 5}, {1, 0, 6}},
                                    {.duplex = duplex, .backs = Backs::light});
        int backs = 0;
        for (const SheetPage& page : result.pages) {
            for (const Place& place : page.places) {
                CHECK(place.light == (page.side == Side::back));
                backs += place.light ? 1 : 0;
            }
        }
        CHECK(backs == 11);
    }
}

TEST_CASE("what a gutter costs is counted in sheets of paper") {
    // Letter, 2.5 x 3.5 in: 9 with shared cuts; 6 with 6 mm between cards (worked out by hand: 3 x
    // 63.5 + 2 x 6 + 2 x 5 = 212.5 fit 215.9, 3 x 88.9 + 2 x 6 = 278.7 > 269.4; lying 4 x 2 = 8
    // need 4 x 63.5 + 3 x 6 = 272 > 269.4, so 3 x 2).
    const std::vector<FaceShape> faces(1, shape(poker));
    const auto none = imposed("letter", faces, {{0, {}, 18}});
    CHECK(none.sheets == 2);
    CHECK(none.sheets_shared == 2);
    CHECK(none.sheets_bleed == 3);
    const auto wide = imposed("letter", faces, {{0, {}, 18}}, {.gutter_for_bleed = true});
    CHECK(wide.sheets == 3);
    CHECK(wide.sheets_shared == 2);
    CHECK(wide.options.gutter.value == 6.0);
    for (const Place& place : wide.pages[0].places) {
        CHECK(place.bleed == Edges<Mm>{{3.0}, {3.0}, {3.0}, {3.0}});
    }
    // Backs on sheets of their own count as paper.
    CHECK(imposed("letter", faces, {{0, 0, 18}}, {.gutter_for_bleed = true}).sheets == 6);
    CHECK(imposed("letter", faces, {{0, 0, 18}}).sheets_bleed == 6);
}

TEST_CASE("full guides run from margin to margin through empty places, clear of every text") {
    const std::vector<FaceShape> faces(1, shape(poker));
    for (const char* paper : {"letter", "a4", "a3", "legal"}) {
        CAPTURE(std::string(paper));
        const auto lines = imposed(paper, faces, {{0, {}, 4}});
        const auto full = imposed(paper, faces, {{0, {}, 4}}, {.guides = Guides::full});
        const auto length = [](const SheetPage& page) {
            double sum = 0.0;
            for (const Line& line : page.guides) {
                sum += std::abs((line.x1 - line.x0).value) + std::abs((line.y1 - line.y0).value);
            }
            return sum;
        };
        CHECK(length(full.pages[0]) > length(lines.pages[0]));
        for (const Line& line : full.pages[0].guides) {
            const RectMm box{line.x0 - Mm{0.1}, line.y0 - Mm{0.1}, line.x1 - line.x0 + Mm{0.2},
                             line.y1 - line.y0 + Mm{0.2}};
            for (const Text& text : full.pages[0].texts) {
                CHECK_FALSE(meet(box, box_of(text, 0.0)));
                CHECK_FALSE(meet(box_of(line), box_of(text)));
            }
            CHECK(box.x.value >= 4.8);
            CHECK(box.right().value <= full.pages[0].size.width.value - 4.8);
            CHECK(box.y.value >= 4.8);
            CHECK(box.bottom().value <= full.pages[0].size.height.value - 4.8);
        }
    }
}

TEST_CASE("line guides do not cross places where no card lies") {
    // A3 holds 4 x 4 or more; one card leaves all places but the first empty.
    const std::vector<FaceShape> faces(1, shape(poker));
    const auto one = imposed("a3", faces, {{0, {}, 1}});
    const RectMm& trim = one.pages[0].places[0].trim;
    const Grid& grid = one.groups[0].grid;
    for (const Line& line : one.pages[0].guides) {
        const Mm long_x = line.x1 - line.x0;
        const Mm long_y = line.y1 - line.y0;
        // Beside the card and its marks, or in a margin.
        const bool beside = line.x0 <= trim.right() && line.y0 <= trim.bottom();
        const bool margin = line.x0 >= grid.area.right() || line.y0 >= grid.area.bottom();
        CHECK((beside || margin));
        CHECK(long_x.value < 2.0 * trim.width.value);
        CHECK(long_y.value < 2.0 * trim.height.value);
    }
}

TEST_CASE("after any number of cuts in the printed order, each cut still has both of its guides") {
    // Shared cuts go from guide to guide and leave the margins on: what is cut lies inside of the
    // grid's area, the ends of all guides outside of it. With a gutter the first cuts halve it;
    // each piece then has its guides in its halves of the gutters.
    const std::vector<FaceShape> faces(1, shape(poker));
    for (const Guides guides : {Guides::lines, Guides::full, Guides::ticks}) {
        for (const double gutter : {0.0, 6.0}) {
            const auto result =
                imposed("tabloid", faces, {{0, {}, 100}}, {.gutter = {gutter}, .guides = guides});
            const SheetPage& page = result.pages[0];
            const RectMm area = result.groups[0].grid.area;
            for (const Place& place : page.places) {
                const RectMm& t = place.trim;
                // With shared cuts the ends outside of the area stay; with a gutter those between
                // the whole bleed and the middle of the gutter, or the margin.
                const bool shared = gutter == 0.0;
                const Mm past_top = shared ? area.y - Mm{0.4} : t.y - place.whole.top - Mm{0.4};
                const Mm past_bottom =
                    shared ? area.bottom() + Mm{0.4} : t.bottom() + place.whole.bottom + Mm{0.4};
                const auto seen_past = [&](Mm x, bool low) {
                    const Mm y = low ? past_top : past_bottom;
                    return std::ranges::any_of(page.guides, [&](const Line& line) {
                        return line.x0 == line.x1 && std::abs((line.x0 - x).value) < 1e-9 &&
                               line.y0 <= y && line.y1 >= y;
                    });
                };
                for (const Mm x : {t.x, t.right()}) {
                    CHECK(seen_past(x, true));
                    CHECK(seen_past(x, false));
                }
            }
        }
    }
}
