// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// What stands in the margins of a sheet: bars, footer, cautions, order of the cuts, fold, legend.
#include "sheet/margins.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "page_boxes.h"

using namespace paleproof;
using namespace paleproof::sheet;

namespace {

const std::vector<LegendEntry> legend{
    {"red", {1.0, {{90.0, {1.0}, {0.2}}}, std::nullopt}},
    {"blue", {1.0, {{0.0, {1.0}, {0.2}}}, std::nullopt}},
    {"green", {1.0, {{135.0, {1.0}, {0.2}}}, std::nullopt}},
    {"gold", {1.0, {}, PatternDots{{1.0}, {0.3}}}},
    {"black", {1.0, {{0.0, {1.0}, {0.2}}, {90.0, {1.0}, {0.2}}}, std::nullopt}}};

}  // namespace

TEST_CASE("scale bars measure 100 mm and 3 in, and all texts keep clear of the art") {
    const struct {
        const char* paper;
        SizeMm card;
        double gutter;
    } table[] = {{"letter", poker, 0},
                 {"a4", poker, 0},
                 {"a4", {{63.0}, {88.0}}, 0},
                 {"letter", {{44.0}, {67.0}}, 0},
                 {"a4", {{70.0}, {120.0}}, 0},
                 {"a4", {{57.15}, {88.9}}, 0},
                 {"legal", poker, 0},
                 {"tabloid", poker, 0},
                 {"a3", {{63.0}, {88.0}}, 0},
                 {"a4", {{63.0}, {88.0}}, 3},
                 {"letter", {{70.0}, {70.0}}, 0},
                 {"a3", {{41.0}, {63.0}}, 1}};
    for (const auto& row : table) {
        CAPTURE(std::string(row.paper));
        CAPTURE(row.card.width.value);
        SheetOptions options;
        options.gutter = {row.gutter};
        const std::vector<FaceShape> faces(1, shape(row.card));
        const Imposition result = imposed(row.paper, faces, {{0, {}, 60}}, options);
        CHECK(result.scale_bars);
        for (const SheetPage& page : result.pages) {
            int hundred = 0;
            int three = 0;
            for (const Line& line : page.marks) {
                const RectMm box = box_of(line);
                check_within(box, page.size, options.margin);
                const double length = std::max(box.width.value, box.height.value);
                hundred += std::abs(length - 100.0) < 1e-9;
                three += std::abs(length - 76.2) < 1e-9;
                for (const Place& place : page.places) CHECK_FALSE(meet(box, shown(place)));
            }
            CHECK(hundred == 1);
            CHECK(three == 1);
            REQUIRE(page.texts.size() >= 3);
            for (std::size_t i = 0; i < page.texts.size(); ++i) {
                CAPTURE(page.texts[i].utf8);
                const RectMm box = box_of(page.texts[i]);
                check_within(box, page.size, options.margin);
                for (const Place& place : page.places) CHECK_FALSE(meet(box, shown(place)));
                for (const Line& line : page.guides) CHECK_FALSE(meet(box, box_of(line)));
                for (std::size_t k = 0; k < i; ++k) {
                    CHECK_FALSE(meet(box, box_of(page.texts[k])));
                }
            }
        }
    }
}

TEST_CASE("the footer says deck, sheet and paper, and the first sheet cautions") {
    const std::vector<FaceShape> faces(1, shape(poker));
    const Imposition result = imposed("letter", faces, {{0, {}, 12}});
    const auto has = [](const SheetPage& page, const std::string& text) {
        return std::any_of(page.texts.begin(), page.texts.end(), [&](const Text& line) {
            return line.utf8.find(text) != std::string::npos;
        });
    };
    CHECK(has(result.pages[0], "Night Orchard · sheet 1 of 2 · Letter · print at 100 %"));
    CHECK(has(result.pages[1], "sheet 2 of 2"));
    CHECK(has(result.pages[0], "Cut away from your hand"));
    CHECK_FALSE(has(result.pages[1], "Cut away from your hand"));
    const Imposition endless =
        imposition(parse_paper("a4", "papers"), faces, std::vector<Card>{{0, {}, 1}}, {},
                   std::string(9000, 'W'));
    CHECK(has(endless.pages[0], "…"));
    CHECK(endless.scale_bars);
}

TEST_CASE("a paper too small for the bars says so instead of squeezing them in") {
    const std::vector<FaceShape> faces(1, shape(poker, Mm{0.0}));
    const Imposition result = imposed("74x100mm", faces, {{0, {}, 1}});
    CHECK(result.pages[0].places.size() == 1);
    CHECK_FALSE(result.scale_bars);
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
