// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/grid.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <string>

#include "core/error.h"

using namespace paleproof;
using namespace paleproof::sheet;

namespace {

constexpr SizeMm letter{{215.9}, {279.4}};
constexpr SizeMm a4{{210.0}, {297.0}};
constexpr SizeMm poker{{63.5}, {88.9}};

/// Counts by trying: adds cards until they no longer fit.
int tried_count(double room, double card, double gutter) {
    int n = 0;
    while ((n + 1) * card + n * gutter <= room + 0.001) ++n;
    return n;
}

int tried_best(SizeMm paper, SizeMm card, Mm margin, Mm gutter) {
    int best = 0;
    for (const SizeMm sheet : {paper, SizeMm{paper.height, paper.width}}) {
        for (const SizeMm place : {card, SizeMm{card.height, card.width}}) {
            best = std::max(best, tried_count(sheet.width.value - 2 * margin.value,
                                              place.width.value, gutter.value) *
                                      tried_count(sheet.height.value - 2 * margin.value,
                                                  place.height.value, gutter.value));
        }
    }
    return best;
}

}  // namespace

TEST_CASE("sheets hold as many cards as worked out by hand") {
    // Capacities worked out separately from these lengths, best of both ways to lay the paper.
    const struct {
        SizeMm card;
        int a4_5, a4_635, letter_635;
    } table[] = {{poker, 9, 9, 9},
                 {{{57.15}, {88.9}}, 10, 9, 9},
                 {{{70.0}, {120.0}}, 4, 4, 4},
                 {{{44.0}, {67.0}}, 16, 16, 18}};
    for (const auto& row : table) {
        CAPTURE(row.card.width.value);
        const Mm none{0.0};
        CHECK(best_grid(a4, row.card, Mm{5.0}, none).cards(Layout::grid) == row.a4_5);
        CHECK(best_grid(a4, row.card, Mm{6.35}, none).cards(Layout::grid) == row.a4_635);
        CHECK(best_grid(letter, row.card, Mm{6.35}, none).cards(Layout::grid) == row.letter_635);
    }
}

TEST_CASE("three by three cards fit Letter and A4 with the default margin of 5 mm") {
    for (const auto& [paper, card] :
         {std::pair{letter, poker}, std::pair{a4, SizeMm{{63.0}, {88.0}}}}) {
        const Grid grid = best_grid(paper, card, Mm{5.0}, Mm{0.0});
        CHECK(grid.columns == 3);
        CHECK(grid.rows == 3);
        CHECK_FALSE(grid.turned);
        CHECK(grid.sheet == paper);
    }
}

TEST_CASE("no grid holds more than the best one, over random sizes") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> side(10.0, 200.0);
    std::uniform_real_distribution<double> paper_side(150.0, 500.0);
    std::uniform_real_distribution<double> space(0.0, 12.0);
    for (int i = 0; i < 2000; ++i) {
        const SizeMm paper{{paper_side(random)}, {paper_side(random)}};
        const SizeMm card{{side(random)}, {side(random)}};
        const Mm margin{space(random)};
        const Mm gutter{i % 3 == 0 ? 0.0 : space(random)};
        CAPTURE(i);
        const int expected = tried_best(paper, card, margin, gutter);
        if (expected == 0) {
            CHECK_THROWS_AS((void)best_grid(paper, card, margin, gutter), Error);
            continue;
        }
        const Grid grid = best_grid(paper, card, margin, gutter);
        CHECK(grid.columns * grid.rows == expected);
        // Centered, within the margins, and made of what was asked for.
        CHECK(grid.area.x.value ==
              doctest::Approx(grid.sheet.width.value - grid.area.right().value));
        CHECK(grid.area.y.value ==
              doctest::Approx(grid.sheet.height.value - grid.area.bottom().value));
        CHECK(grid.area.x.value >= margin.value - 0.001);
        CHECK(grid.area.y.value >= margin.value - 0.001);
        const RectMm last = grid.trim(grid.columns - 1, grid.rows - 1);
        CHECK(last.right().value == doctest::Approx(grid.area.right().value));
        CHECK(last.bottom().value == doctest::Approx(grid.area.bottom().value));
    }
}

TEST_CASE("a sheet may be made to lie or to stand") {
    const SizeMm card{{57.15}, {88.9}};
    const Grid standing =
        best_grid(a4, card, Mm{5.0}, Mm{0.0}, Layout::grid, Orientation::portrait);
    CHECK(standing.sheet.width < standing.sheet.height);
    CHECK(standing.turned);  // 2 x 5 lying cards against 3 x 3 upright ones
    CHECK(standing.cards(Layout::grid) == 10);
    const Grid lying = best_grid(a4, card, Mm{5.0}, Mm{0.0}, Layout::grid, Orientation::landscape);
    CHECK(lying.sheet.width > lying.sheet.height);
    CHECK_FALSE(lying.turned);
    CHECK(lying.cards(Layout::grid) == 10);
}

TEST_CASE("a folded sheet holds front and back of each card, mirrored about its middle") {
    const Grid grid = best_grid(a4, {{63.0}, {88.0}}, Mm{5.0}, Mm{0.0}, Layout::fold);
    CHECK(grid.columns == 2);
    CHECK(grid.rows == 4);
    CHECK(grid.turned);
    CHECK(grid.cards(Layout::fold) == 4);
    CHECK(grid.trim(0, 0).right().value == doctest::Approx(105.0));
    for (const double gutter : {0.0, 4.0}) {
        const Grid wide = best_grid({{297.0}, {420.0}}, poker, Mm{5.0}, Mm{gutter}, Layout::fold);
        CHECK(wide.columns % 2 == 0);
        CHECK(
            wide.trim(0, 0).x.value ==
            doctest::Approx(wide.sheet.width.value - wide.trim(wide.columns - 1, 0).right().value));
    }
}

TEST_CASE("a card that does not fit is refused with the largest that would") {
    const auto fault = [](SizeMm card, Mm margin, Layout layout) {
        try {
            (void)best_grid(a4, card, margin, Mm{0.0}, layout);
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::range);
            CHECK(error.subject() == "margin");
            return error.detail();
        }
        return std::string("accepted");
    };
    CHECK(
        fault({{250.0}, {300.0}}, Mm{5.0}, Layout::grid) ==
        "expected cards of at most 200 x 287 mm for a paper of 210 x 297 mm with margins of 5 mm, "
        "got 250 x 300 mm; choose a larger paper or a smaller margin");
    CHECK(fault(poker, Mm{110.0}, Layout::grid).find("leaves room") != std::string::npos);
    // 150 mm of card fit on the sheet, but not on one half of it beside its back.
    CHECK(fault({{150.0}, {180.0}}, Mm{5.0}, Layout::grid) == "accepted");
    CHECK(fault({{150.0}, {180.0}}, Mm{5.0}, Layout::fold).find("100 x 287 mm or 200 x 143.5 mm") !=
          std::string::npos);
}
