// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/difference.h"

#include <doctest/doctest.h>

#include <cmath>

#include "unit/color/reference_tables.h"

using namespace paleproof::color;
namespace reference = paleproof::reference;

// Sharma, Wu, Dalal 2005, table 1. The table is printed to four digits.
TEST_CASE("CIEDE2000 gives all 34 pairs of the test table, in both orders") {
    static_assert(reference::ciede2000_pairs.size() == 34);
    for (const auto& pair : reference::ciede2000_pairs) {
        const Lab x{pair.l1, pair.a1, pair.b1}, y{pair.l2, pair.a2, pair.b2};
        CAPTURE(pair.difference);
        CHECK(std::abs(ciede2000(x, y) - pair.difference) < 1e-4);
        CHECK(std::abs(ciede2000(y, x) - pair.difference) < 1e-4);
    }
}

TEST_CASE("a color does not differ from itself") {
    for (const auto& row : reference::lab_values) {
        const Lab color{row.l, row.a, row.b};
        CHECK(ciede2000(color, color) == 0.0);
        CHECK(delta_e76(color, color) == 0.0);
    }
}

// CIE 15: Euclidean distance; the numbers are those of red, green, blue and white in a row
// (FF0000, 008000, 0000FF, FFFFFF), computed outside the project.
TEST_CASE("the 1976 difference is the distance in CIELAB") {
    CHECK(std::abs(delta_e76(lab({255, 0, 0}), lab({0, 128, 0})) - 133.1072) < 0.05);
    CHECK(std::abs(delta_e76(lab({0, 128, 0}), lab({0, 0, 255})) - 205.4537) < 0.05);
    CHECK(std::abs(delta_e76(lab({0, 0, 255}), lab({255, 255, 255})) - 149.9627) < 0.05);
}
