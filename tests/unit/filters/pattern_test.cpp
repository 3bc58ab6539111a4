// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/pattern.h"

#include <doctest/doctest.h>

#include <cmath>

#include "filters/bleed.h"
#include "support/pictures.h"

using namespace paleproof;
using namespace paleproof::filters;

namespace {

/// A lattice of two steps, (30, 0) and (12, 20): what lies at x, y is known everywhere.
int lattice(int x, int y) {
    const int row = static_cast<int>(std::floor(y / 20.0));
    const int u = ((x - 12 * row) % 30 + 30) % 30;
    const int v = y - 20 * row;
    return 20 + 7 * u + (v * v) % 17;
}

Image drawn(int width, int height, int from_x, int from_y) {
    Image image(width, height, Encoding::gray, Ppi{300});
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            image.row(y)[x] = static_cast<std::uint8_t>(lattice(x + from_x, y + from_y));
        }
    }
    return image;
}

}  // namespace

TEST_CASE("a pattern goes on past all edges and corners as if it had been drawn larger") {
    // Truth: the same lattice drawn over the larger picture.
    const int amount = 15;
    const Image card = drawn(200, 260, 0, 0);
    const Edges<BleedMethod> method{BleedMethod::pattern, BleedMethod::pattern,
                                    BleedMethod::pattern, BleedMethod::pattern};
    const Image made = bleed(card, {.amount = {amount, amount, amount, amount},
                                    .method = method,
                                    .repeat = {{12, 20}, {0, 30}, {-12, 20}, {0, 30}}});
    CHECK(made == drawn(200 + 2 * amount, 260 + 2 * amount, -amount, -amount));
}

TEST_CASE("in_phase takes few steps, and says when these lead nowhere") {
    const PatternSteps steps{{12, 20}, {0, 30}, {0, 30}};
    CHECK(in_phase({-1, 50}, 200, 40, steps) == StripPlace{19, 62});
    CHECK(in_phase({-25, 190}, 200, 40, steps) == StripPlace{15, 184});
    CHECK(in_phase({-1, 195}, 200, 10, steps) == std::nullopt);
    CHECK(in_phase({-1, 195}, 200, 40, {{12, 20}, {}, {}}) == std::nullopt);
}

TEST_CASE("places that no step reaches are said to be unknown, and bleed carries the art there") {
    EdgeStrip one(1, 1, 3);
    one.values = {10.0F, 20.0F, 30.0F};
    EdgeStrip made;
    CHECK_FALSE(pattern(one, 4, {{5, 3}, {}, {}}, made));
    REQUIRE(made.values.size() == 12);
    for (int r = 0; r < 4; ++r) CHECK(made.row(r)[2] == -1.0F);
    CHECK(pattern(one, 4, {{0, 3}, {}, {}}, made));
    CHECK(made.row(3)[2] == 30.0F);
    // Lines at an angle, of which one edge alone has a step: they go on straight at its ends too.
    const auto lines = [](int x, int y) {
        const int phase = ((2 * x + y) % 40 + 40) % 40;
        return static_cast<std::uint8_t>(phase < 12 ? 30 : 220);
    };
    Image card(300, 200, Encoding::gray, Ppi{300});
    for (int y = 0; y < 200; ++y) {
        for (int x = 0; x < 300; ++x) card.row(y)[x] = lines(x, y);
    }
    const Image wide = bleed(card, {.amount = {30, 0, 0, 0},
                                    .method = {BleedMethod::pattern, {}, {}, {}},
                                    .repeat = {{15, 10}, {}, {}, {}}});
    int right = 0;
    for (int y = 0; y < 30; ++y) {
        for (int x = 0; x < 300; ++x) {
            const bool dark = lines(x, y - 30) < 128;
            right += (wide.row(y)[x] < 128) == dark ? 1 : 0;
        }
    }
    CHECK(right > 300 * 30 * 97 / 100);
}
