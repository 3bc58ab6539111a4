// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/line_choice.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace paleproof;
using filters::line_choice;
using filters::Plane;

namespace {

void line(Plane& rank, int x, int y, int length, float value) {
    std::fill_n(rank.row(y) + x, length, value);
}

long drawn(const std::vector<std::uint8_t>& mask) {
    return std::ranges::count(mask, std::uint8_t{255});
}

}  // namespace

TEST_CASE("the most important lines that fit are chosen") {
    Plane rank(100, 50);
    line(rank, 10, 5, 40, 9.0F);
    line(rank, 10, 15, 40, 5.0F);
    line(rank, 10, 25, 40, 2.0F);
    CHECK(drawn(line_choice(rank, {.most = 1000.0})) == 120);
    const auto two = line_choice(rank, {.most = 90.0});
    CHECK(drawn(two) == 80);
    CHECK(two[25 * 100 + 20] == 0);
    CHECK(drawn(line_choice(rank, {.most = 50.0})) == 40);
    CHECK(drawn(line_choice(rank, {.most = 0.0})) == 0);
}

TEST_CASE("a line goes on into its weaker end, and an end alone is none") {
    Plane rank(100, 50);
    line(rank, 10, 5, 20, 10.0F);
    line(rank, 30, 5, 20, 5.0F);   // goes on from the line above
    line(rank, 10, 20, 20, 5.0F);  // alone
    const auto mask = line_choice(rank, {.most = 45.0});
    CHECK(mask[5 * 100 + 45] == 255);
    CHECK(mask[20 * 100 + 15] == 0);
}

TEST_CASE("short lines are left out whatever the room") {
    Plane rank(100, 50);
    line(rank, 10, 5, 4, 100.0F);
    line(rank, 10, 20, 20, 1.0F);
    const auto mask = line_choice(rank, {.most = 1000.0, .shortest = 8.0});
    CHECK(drawn(mask) == 20);
}

TEST_CASE("only what lies in the area counts against the room") {
    Plane rank(100, 50);
    line(rank, 0, 5, 50, 9.0F);
    line(rank, 60, 25, 30, 5.0F);
    const auto mask = line_choice(rank, {.most = 35.0, .area = {55, 0, 45, 50}});
    CHECK(drawn(mask) == 80);
}
