// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/flow.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "support/strips.h"

using namespace paleproof;
using filters::EdgeStrip;
using filters::flow;

TEST_CASE("flow finds the slope of a line that crosses the edge, at any angle") {
    // Slope of a straight line: tangent of its angle to the edge's normal (plane geometry).
    for (const double degrees : {-65.0, -45.0, -20.0, -5.0, 0.0, 10.0, 20.0, 30.0, 60.0, 70.0}) {
        CAPTURE(degrees);
        const double slope = std::tan(degrees * std::numbers::pi / 180.0);
        const EdgeStrip strip = test::crossing_line(400, 40, 200.0, slope, 5.0);
        const filters::Flow found = flow(strip, 10);
        const auto x = static_cast<std::size_t>(std::lround(200.0 + 5.0 * slope));
        CHECK(found.slope[4 * 400 + x] == doctest::Approx(slope).epsilon(0.03).scale(1.0));
        CHECK(found.coherence[4 * 400 + x] > 0.8F);
    }
}

TEST_CASE("flow of a flat strip and of tiny strips is none") {
    for (const auto& [length, rows] : {std::pair{1, 1}, {2, 5}, {5, 2}, {64, 20}}) {
        EdgeStrip strip(length, rows, 1);
        std::ranges::fill(strip.values, 80.0F);
        const filters::Flow found = flow(strip, 7);
        CHECK(found.slope.size() == static_cast<std::size_t>(length) * 7U);
        CHECK(std::ranges::all_of(found.slope, [](float s) { return s == 0.0F; }));
        CHECK(std::ranges::all_of(found.coherence, [](float c) { return c == 0.0F; }));
    }
}

TEST_CASE("flow does not follow lines that run along the edge") {
    EdgeStrip strip(200, 30, 1);
    for (int r = 0; r < 30; ++r) {
        for (int x = 0; x < 200; ++x) strip.row(r)[x] = r / 4 % 2 == 0 ? 30.0F : 220.0F;
    }
    const filters::Flow found = flow(strip, 5);
    CHECK(std::ranges::all_of(found.slope, [](float s) { return std::abs(s) < 0.01F; }));
}
