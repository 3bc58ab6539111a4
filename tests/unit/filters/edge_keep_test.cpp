// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/edge_keep.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::edge_keep;
using filters::Plane;

namespace {

constexpr Ppi ppi{300};

/// The recursive domain transform of one line, in double precision, straight from the paper
/// (Gastal and Oliveira 2011, equations 14, 20 and 21): reach s, step r, two rounds, the joint
/// signal is the input.
std::vector<double> plain_line(const std::vector<double>& line, double s, double r) {
    std::vector<double> out = line;
    for (int i = 1; i <= 2; ++i) {
        const double deviation = s * std::sqrt(3.0) * std::pow(2.0, 2 - i) / std::sqrt(15.0);
        const double a = std::exp(-std::sqrt(2.0) / deviation);
        const auto link = [&](std::size_t n) {
            // Differences are rounded to whole codes by the filter.
            return std::pow(a, 1.0 + s / r * std::floor(std::abs(line[n] - line[n - 1]) + 0.5));
        };
        for (std::size_t n = 1; n < out.size(); ++n) out[n] += link(n) * (out[n - 1] - out[n]);
        for (std::size_t n = out.size() - 1; n-- > 0;) {
            out[n] += link(n + 1) * (out[n + 1] - out[n]);
        }
    }
    return out;
}

}  // namespace

TEST_CASE("a single row is smoothed as the published recursion says") {
    for (const int width : {1, 2, 31, 64}) {
        CAPTURE(width);
        test::Dice dice(static_cast<std::uint32_t>(width));
        Plane row(width, 1);
        std::vector<double> line;
        for (float& v : row.values) {
            v = static_cast<float>(dice.between(0, 255));
            line.push_back(static_cast<double>(v));
        }
        const Plane result = edge_keep(row, ppi, {.reach_mm = 0.5, .step = 24.0});
        const auto expected = plain_line(line, 0.5 / 25.4 * 300.0, 24.0);
        for (int x = 0; x < width; ++x) {
            // Single precision over two rounds.
            CHECK(std::abs(result.row(0)[x] - expected[static_cast<std::size_t>(x)]) < 0.01);
        }
    }
}

TEST_CASE("a high edge stays as steep as it is and faint texture goes") {
    Plane picture(60, 40);
    for (int y = 0; y < 40; ++y) {
        for (int x = 0; x < 60; ++x) {
            picture.row(y)[x] = (x < 30 ? 40.0F : 200.0F) + ((x + y) % 2 == 0 ? 4.0F : -4.0F);
        }
    }
    const Plane result = edge_keep(picture, ppi);
    CHECK(result.row(20)[30] - result.row(20)[29] > 150.0F);
    for (int x = 5; x < 25; ++x) {
        CAPTURE(x);
        CHECK(std::abs(result.row(20)[x] - result.row(20)[x + 1]) < 2.0F);
    }
}

TEST_CASE("values stay between the least and the greatest, and flat stays flat") {
    test::Dice dice(5);
    Plane picture(33, 21);
    for (float& v : picture.values) v = static_cast<float>(dice.between(30, 180));
    const Plane result = edge_keep(picture, ppi);
    CHECK(*std::ranges::min_element(result.values) >= 29.99F);
    CHECK(*std::ranges::max_element(result.values) <= 180.01F);
    const Plane flat(9, 7, 77.0F);
    CHECK(edge_keep(flat, ppi).values == flat.values);
}

TEST_CASE("a reach outside its limits is refused by name") {
    CHECK_THROWS_WITH_AS((void)edge_keep(Plane(3, 3), ppi, {.reach_mm = 0.0}),
                         doctest::Contains("reach"), Error);
}
