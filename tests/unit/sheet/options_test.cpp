// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// What a job may choose for its sheets: orders, backs, guides, gutters, legend, test page.
#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <random>
#include <string>
#include <vector>

#include "sheet/imposition.h"
#include "sheet/stroke_font.h"
#include "sheet/test_page.h"

using namespace paleproof;
using namespace paleproof::sheet;

namespace {

constexpr SizeMm poker{{63.5}, {88.9}};

FaceShape shape(SizeMm trim, double ink = 0.0) { return {trim, {{3.0}, {3.0}, {3.0}, {3.0}}, ink}; }

Imposition imposed(const char* paper, const std::vector<FaceShape>& faces,
                   const std::vector<Card>& cards, const SheetOptions& options = {},
                   const SheetTexts& texts = "Night Orchard") {
    return imposition(parse_paper(paper, "papers"), faces, cards, options, texts);
}

std::vector<std::size_t> fronts(const Imposition& imposition) {
    std::vector<std::size_t> faces;
    for (const SheetPage& page : imposition.pages) {
        if (page.side != Side::front) continue;
        for (const Place& place : page.places) faces.push_back(place.face);
    }
    return faces;
}

const Text* text_with(const SheetPage& page, const std::string& part) {
    const auto found = std::ranges::find_if(
        page.texts, [&](const Text& text) { return text.utf8.find(part) != std::string::npos; });
    return found == page.texts.end() ? nullptr : &*found;
}

RectMm box_of(const Text& text) {
    const Mm width = text_width(text.utf8, text.cap_height);
    return text.upward ? RectMm{text.x - text.cap_height, text.y - width, text.cap_height, width}
                       : RectMm{text.x, text.y - text.cap_height, width, text.cap_height};
}

bool meet(const RectMm& a, const RectMm& b) {
    return a.x < b.right() && b.x < a.right() && a.y < b.bottom() && b.y < a.bottom();
}

const std::vector<LegendEntry> legend{
    {"red", {1.0, {{90.0, {1.0}, {0.2}}}, std::nullopt}},
    {"blue", {1.0, {{0.0, {1.0}, {0.2}}}, std::nullopt}},
    {"green", {1.0, {{135.0, {1.0}, {0.2}}}, std::nullopt}},
    {"gold", {1.0, {}, PatternDots{{1.0}, {0.3}}}},
    {"black", {1.0, {{0.0, {1.0}, {0.2}}, {90.0, {1.0}, {0.2}}}, std::nullopt}}};

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
            faces.push_back(shape(poker, i < heavy ? 0.7 + noise : 0.05 + noise));
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
        faces.push_back(shape(poker, i < 3 ? 1.0 : 0.1));
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
            for (const Text& text : full.pages[0].texts) CHECK_FALSE(meet(box, box_of(text)));
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

TEST_CASE("the first sheet says the order of the cuts, long ones first, and no other does") {
    const std::vector<FaceShape> faces(1, shape(poker));
    const auto grid = imposed("letter", faces, {{0, {}, 12}});
    const Text* order = text_with(grid.pages[0], "Cutting order");
    REQUIRE(order != nullptr);
    // 3 x 3 upright cards: 266.7 mm head to foot, 190.5 mm side to side.
    CHECK(order->utf8 ==
          "Cutting order: first 4 cuts head to foot, guide to guide, margins left on; then 4 cuts "
          "side to side.");
    CHECK(text_with(grid.pages[1], "Cutting order") == nullptr);
    CHECK(text_with(grid.pages[0], "Cut away from your hand") != nullptr);
    const auto fold = imposed("letter", faces, {{0, 0, 12}}, {.layout = Layout::fold});
    REQUIRE(text_with(fold.pages[0], "Order: fold at the dashed line, print outside") != nullptr);
    const auto wide = imposed("a3", faces, {{0, {}, 12}}, {.gutter = {6.0}});
    REQUIRE(text_with(wide.pages[0], "halve the gutters") != nullptr);
}

TEST_CASE("a fold is named at both ends, its line runs from margin to margin and crosses nothing") {
    const std::vector<FaceShape> faces(1, shape(poker));
    for (const char* paper : {"letter", "a4", "legal", "tabloid", "a3"}) {
        for (const double gutter : {0.0, 4.0}) {
            for (const Guides guides : {Guides::lines, Guides::ticks, Guides::full, Guides::none}) {
                CAPTURE(std::string(paper));
                CAPTURE(gutter);
                const auto result =
                    imposed(paper, faces, {{0, 0, 20}},
                            {.layout = Layout::fold, .gutter = {gutter}, .guides = guides},
                            {"Night Orchard", "hatch 3f9a2c", legend});
                for (const SheetPage& page : result.pages) {
                    const auto fold = std::ranges::find_if(
                        page.guides, [](const Line& line) { return line.dashed; });
                    REQUIRE(fold != page.guides.end());
                    CHECK(fold->strong);
                    CHECK(fold->x0 == page.size.width / 2.0);
                    CHECK(fold->y0.value == doctest::Approx(5.0));
                    CHECK(fold->y1.value == doctest::Approx(page.size.height.value - 5.0));
                    const RectMm line{fold->x0 - Mm{0.5}, fold->y0, Mm{1.0}, fold->y1 - fold->y0};
                    int labels = 0;
                    for (const Text& text : page.texts) {
                        CHECK_FALSE(meet(line, box_of(text)));
                        labels += text.utf8 == "fold here" ? 1 : 0;
                        for (const Text& other : page.texts) {
                            if (&other != &text) CHECK_FALSE(meet(box_of(text), box_of(other)));
                        }
                    }
                    for (const Line& mark : page.marks) {
                        CHECK_FALSE(meet(
                            line,
                            {std::min(mark.x0, mark.x1), std::min(mark.y0, mark.y1),
                             std::max(mark.x0, mark.x1) - std::min(mark.x0, mark.x1) + Mm{0.01},
                             Mm{0.01}}));
                    }
                    // Where the grid leaves a margin for a line of text at head and foot.
                    const RectMm& area = result.groups[0].grid.area;
                    if (area.y.value >= 5.0 + 2.6 + 1.0) CHECK(labels == 2);
                }
            }
        }
    }
}

TEST_CASE("the legend stands on the first sheet alone, whole, inside of the printer's margin") {
    const std::vector<FaceShape> faces(1, shape(poker));
    for (const char* paper : {"letter", "a4", "legal", "tabloid", "a3"}) {
        for (const Layout layout : {Layout::grid, Layout::fold}) {
            CAPTURE(std::string(paper));
            CAPTURE(static_cast<int>(layout));
            const auto result = imposed(paper, faces, {{0, 0, 60}}, {.layout = layout},
                                        {"Night Orchard", "hatch 3f9a2c", legend});
            CHECK(result.legend);
            const SheetPage& page = result.pages[0];
            REQUIRE(page.swatches.size() == legend.size());
            CHECK(text_with(page, "Patterns stand for colors:") != nullptr);
            for (std::size_t i = 0; i < legend.size(); ++i) {
                const RectMm& box = page.swatches[i].box;
                CHECK(text_with(page, legend[i].label) != nullptr);
                CHECK(std::min(box.width, box.height).value >= 1.3);
                CHECK(box.x.value >= 5.0 - 1e-9);
                CHECK(box.y.value >= 5.0 - 1e-9);
                CHECK(box.right().value <= page.size.width.value - 5.0 + 1e-9);
                CHECK(box.bottom().value <= page.size.height.value - 5.0 + 1e-9);
                for (const Text& text : page.texts) CHECK_FALSE(meet(box, box_of(text)));
                for (const Place& place : page.places) CHECK_FALSE(meet(box, place.trim));
            }
            for (std::size_t p = 1; p < result.pages.size(); ++p) {
                CHECK(result.pages[p].swatches.empty());
            }
        }
    }
}

TEST_CASE("turned cards have the legend's patterns turned with them") {
    // 57.15 x 88.9 mm on Letter: the grid turns the cards or the sheet; A4 fold turns the cards.
    const std::vector<FaceShape> faces(1, shape({{63.0}, {88.0}}));
    const auto result = imposed("a4", faces, {{0, 0, 8}}, {.layout = Layout::fold},
                                {"Night Orchard", "hatch", legend});
    REQUIRE(result.groups[0].grid.turned);
    REQUIRE(result.pages[0].swatches.size() == legend.size());
    CHECK(result.pages[0].swatches[0].sample.lines[0].angle_deg == 0.0);  // 90 on the card
}

TEST_CASE("the numbers of the test page are what back_shift must be set to") {
    // A back printed 2 mm too far right and 3 mm too low on its page needs back_shift -2mm, -3mm.
    // Seen from the front, its cross lies where turning the sheet puts it.
    const struct {
        const char* paper;
        bool lying;
        Duplex duplex;
    } table[] = {{"letter", false, Duplex::long_edge},
                 {"letter", false, Duplex::short_edge},
                 {"a4", true, Duplex::long_edge},
                 {"a4", true, Duplex::short_edge},
                 {"a4", false, Duplex::none}};
    for (const auto& row : table) {
        const Paper paper = parse_paper(row.paper, "papers");
        const SizeMm size = row.lying ? SizeMm{paper.size.height, paper.size.width} : paper.size;
        const auto result = test_page(paper, size, {.duplex = row.duplex});
        REQUIRE(result.pages.size() == 2);
        const SheetPage& front = result.pages[0];
        // Turned about a vertical line, right becomes left; about a level one, down becomes up.
        const bool sideways = (row.duplex == Duplex::short_edge) == row.lying;
        const double seen_x = sideways ? -2.0 : 2.0;
        const double seen_y = sideways ? 3.0 : -3.0;
        // The labels +10 and -10 tell which way a scale grows.
        const double cx = size.width.value / 2.0;
        const double cy = size.height.value / 2.0;
        double grows_right = 0.0;
        double grows_down = 0.0;
        for (const Text& text : front.texts) {
            const double x = text.x.value - cx;
            const double y = text.y.value - cy;
            if (text.utf8 != "+10") continue;
            // The level scale lies below the middle, the upright one left of it.
            if (y > 14.0) grows_right = x > 0 ? 1.0 : -1.0;
            if (x < -14.0) grows_down = y > 0 ? 1.0 : -1.0;
        }
        CHECK(seen_x * grows_right == -2.0);
        CHECK(seen_y * grows_down == -3.0);
        CHECK(text_with(front, "back_shift") != nullptr);
        CHECK(text_with(front, "100 mm across") != nullptr);
    }
}

TEST_CASE("the test page's scales are millimeters, and all of it lies within the margin") {
    for (const char* name : {"letter", "a4", "a3", "100x150mm"}) {
        const Paper paper = parse_paper(name, "papers");
        const auto result = test_page(paper, paper.size, {});
        for (const SheetPage& page : result.pages) {
            for (const Line& line : page.marks) {
                for (const Mm x : {line.x0, line.x1}) {
                    CHECK(x.value >= 5.0 - 1e-9);
                    CHECK(x.value <= page.size.width.value - 5.0 + 1e-9);
                }
                for (const Mm y : {line.y0, line.y1}) {
                    CHECK(y.value >= 5.0 - 1e-9);
                    CHECK(y.value <= page.size.height.value - 5.0 + 1e-9);
                }
            }
        }
        const SheetPage& front = result.pages[0];
        const Mm base = front.size.height / 2.0 + Mm{14.0};
        int ticks = 0;
        for (const Line& line : front.marks) {
            if (line.x0 == line.x1 && line.y0 == base && line.y1 > base && line.y1 < base + Mm{4.0})
                ++ticks;
        }
        CHECK(ticks == 41);  // each half millimeter from -10 to 10
        // The cross of the back meets both scales, however far the back lies off within them.
        const SheetPage& back = result.pages[1];
        for (const Line& line : back.marks) {
            CHECK(line.strong);
            CHECK(std::max(line.x1 - line.x0, line.y1 - line.y0) >= Mm{2.0 * (14.0 + 10.0)});
        }
        // The steps end above the scales, and no text lies on another.
        for (const Text& text : front.texts) {
            CHECK(text.cap_height.value >= 1.0);
            for (const Text& other : front.texts) {
                if (&other != &text) CHECK_FALSE(meet(box_of(text), box_of(other)));
            }
        }
    }
}
