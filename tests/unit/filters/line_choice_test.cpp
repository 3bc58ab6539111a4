// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/line_choice.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace paleproof;
using filters::line_choice;
using filters::line_order;
using filters::LineOrder;
using filters::Plane;
using filters::StrokeFlow;

namespace {

constexpr int width = 100;
constexpr int height = 60;

/// All runs level, but for the columns from `upright` on.
StrokeFlow flow_of(int upright = width) {
    StrokeFlow flow;
    flow.width = width / 2;
    flow.height = height / 2;
    for (int y = 0; y < flow.height; ++y) {
        for (int x = 0; x < flow.width; ++x) {
            flow.cells.push_back(2 * x < upright ? StrokeFlow::Along{1.0F, 0.0F, 1.0F}
                                                 : StrokeFlow::Along{0.0F, 1.0F, 1.0F});
        }
    }
    return flow;
}

void level(Plane& rank, int x, int y, int length, float value) {
    std::fill_n(rank.row(y) + x, length, value);
}

long drawn(const std::vector<std::uint8_t>& mask) {
    return std::ranges::count(mask, std::uint8_t{255});
}

bool has(const std::vector<std::uint8_t>& mask, int x, int y) {
    return mask[static_cast<std::size_t>(y * width + x)] == 255;
}

}  // namespace

TEST_CASE("the most important lines that fit are chosen") {
    Plane rank(width, height);
    level(rank, 10, 5, 40, 9.0F);
    level(rank, 10, 25, 40, 5.0F);
    level(rank, 10, 45, 40, 2.0F);
    const LineOrder order = line_order(rank, flow_of(), {});
    CHECK(drawn(line_choice(order, 1000.0)) == 120);
    const auto two = line_choice(order, 90.0);
    CHECK(drawn(two) == 80);
    CHECK_FALSE(has(two, 20, 45));
    CHECK(drawn(line_choice(order, 50.0)) == 40);
    CHECK(drawn(line_choice(order, 0.0)) == 0);
}

TEST_CASE("a line comes whole or not at all, its weak part with its strong one") {
    Plane rank(width, height);
    level(rank, 10, 5, 20, 10.0F);
    level(rank, 30, 5, 20, 5.0F);   // goes on from the line above
    level(rank, 10, 40, 20, 6.0F);  // stronger than that part, but alone
    const LineOrder order = line_order(rank, flow_of(), {});
    const auto mask = line_choice(order, 45.0);
    CHECK(has(mask, 45, 5));
    CHECK_FALSE(has(mask, 15, 40));
    // What does not fit is passed over for what does.
    CHECK(drawn(line_choice(order, 39.0)) == 20);
}

TEST_CASE("a line ends where it turns sharply") {
    Plane rank(width, height);
    level(rank, 10, 5, 40, 9.0F);
    for (int y = 5; y < 45; ++y) rank.row(y)[50] = 3.0F;
    const auto mask = line_choice(line_order(rank, flow_of(50), {}), 45.0);
    CHECK(has(mask, 30, 5));
    CHECK_FALSE(has(mask, 50, 30));
}

TEST_CASE("of equal rank the longer line comes first") {
    Plane rank(width, height);
    level(rank, 10, 5, 10, 5.0F);
    level(rank, 10, 40, 50, 5.0F);
    const auto mask = line_choice(line_order(rank, flow_of(), {.full_length = 60.0}), 55.0);
    CHECK(has(mask, 30, 40));
    CHECK_FALSE(has(mask, 15, 5));
}

TEST_CASE("of two lines side by side one comes before the other and what lies alone between") {
    Plane rank(width, height);
    level(rank, 10, 10, 60, 9.0F);
    level(rank, 10, 16, 60, 8.5F);
    level(rank, 10, 45, 60, 3.0F);
    const auto by_rank = line_choice(line_order(rank, flow_of(), {}), 125.0);
    CHECK(has(by_rank, 20, 16));
    const auto apart = line_choice(line_order(rank, flow_of(), {.apart = 14.0}), 125.0);
    CHECK(has(apart, 20, 10));
    CHECK_FALSE(has(apart, 20, 16));
    CHECK(has(apart, 20, 45));
}

TEST_CASE(
    "what lies beside a line for most of its length is left out, however much room there is") {
    Plane rank(width, height);
    level(rank, 10, 10, 60, 9.0F);
    level(rank, 10, 16, 60, 8.5F);  // beside it all along
    level(rank, 5, 45, 60, 6.0F);
    level(rank, 40, 50, 55, 3.0F);  // beside for less than half of its length
    const LineOrder order = line_order(rank, flow_of(), {.apart = 14.0});
    const auto all = line_choice(order, 1000.0);
    CHECK(has(all, 20, 10));
    CHECK_FALSE(has(all, 20, 16));
    CHECK(has(all, 20, 45));
    CHECK(has(all, 90, 50));
}

TEST_CASE("a line that crosses another is not beside it") {
    Plane rank(width, height);
    level(rank, 10, 10, 60, 9.0F);
    for (int y = 12; y < 32; ++y) rank.row(y)[80] = 5.0F;
    level(rank, 10, 45, 60, 4.0F);
    const auto mask = line_choice(line_order(rank, flow_of(80), {.apart = 20.0}), 85.0);
    CHECK(has(mask, 80, 20));
}

TEST_CASE("short lines are left out whatever the room, but for gaps in chosen ones") {
    Plane rank(width, height);
    level(rank, 10, 5, 4, 100.0F);
    level(rank, 10, 20, 40, 1.0F);
    rank.row(20)[50] = 1.0F;  // upright, where nothing else is: one pixel
    const auto mask = line_choice(line_order(rank, flow_of(50), {.shortest = 8.0}), 1000.0);
    CHECK(drawn(mask) == 41);
    CHECK_FALSE(has(mask, 11, 5));
    CHECK(has(mask, 50, 20));
}

TEST_CASE("a blot counts less than a line of its ink") {
    Plane rank(width, height);
    for (int y = 5; y < 13; ++y) level(rank, 10, y, 8, 6.0F);
    level(rank, 10, 40, 64, 5.0F);
    const auto mask = line_choice(line_order(rank, flow_of(), {}), 70.0);
    CHECK(has(mask, 30, 40));
    CHECK_FALSE(has(mask, 12, 8));
}

TEST_CASE("only what lies in the area counts against the room") {
    Plane rank(width, height);
    level(rank, 0, 5, 50, 9.0F);
    level(rank, 60, 25, 30, 5.0F);
    const auto order = line_order(rank, flow_of(), {.area = {55, 0, 45, 50}});
    CHECK(drawn(line_choice(order, 35.0)) == 80);
}

TEST_CASE("a stroke beside a number is left out; the ring of its badge and longer lines stay") {
    constexpr int side = 100;
    std::vector<std::uint8_t> chosen(side * side, 0);
    const auto at = [&](int x, int y) -> std::uint8_t& {
        return chosen[static_cast<std::size_t>(y * side + x)];
    };
    for (int x = 0; x < side; ++x) {
        for (int y = 0; y < side; ++y) {
            const double r = std::hypot(x - 50.0, y - 50.0);
            if (r >= 30.0 && r < 32.0) at(x, y) = 255;
        }
    }
    for (int y = 42; y < 58; ++y) at(64, y) = 255;  // a stroke in the badge
    for (int y = 30; y < 60; ++y) at(38, y) = 255;  // taller than the number
    for (int y = 44; y < 52; ++y) at(68, y) = 255;  // a dash
    at(50, 50) = 255;                               // on it
    const std::vector<std::uint8_t> before = chosen;
    filters::leave_out_strokes(chosen, {side, side}, {});
    CHECK(chosen == before);
    const RectPx number{44, 40, 12, 20};
    filters::leave_out_strokes(chosen, {side, side}, {&number, 1});
    std::vector<std::uint8_t> wanted = before;
    for (int y = 42; y < 58; ++y) wanted[static_cast<std::size_t>(y * side + 64)] = 0;
    CHECK(chosen == wanted);
}
