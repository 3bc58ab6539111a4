// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/panel_flip.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::panel_flip;

namespace {

TextLine reversed_at(RectPx box) {
    TextLine line;
    line.box_px = box;
    line.confidence = 0.9;
    line.reversed = true;
    line.contrast = 9.0;
    return line;
}

/// A panel of 300 x 150 with rounded corners, turned by `degrees`, in the middle of 600 x 600.
Image with_panel(double degrees, std::uint8_t around, std::uint8_t panel, int grain = 0) {
    Image face = test::flat(600, 600, around);
    const double turn = degrees * 3.14159265358979 / 180.0;
    test::Dice dice(3);
    for (int y = 0; y < 600; ++y) {
        for (int x = 0; x < 600; ++x) {
            const double u = std::cos(turn) * (x - 300) + std::sin(turn) * (y - 300);
            const double v = -std::sin(turn) * (x - 300) + std::cos(turn) * (y - 300);
            const double du = std::max(0.0, std::abs(u) - 120.0);
            const double dv = std::max(0.0, std::abs(v) - 45.0);
            if (std::hypot(du, dv) <= 30.0) {
                face.row(y)[x] = static_cast<std::uint8_t>(
                    panel + (grain > 0 ? dice.between(-grain, grain) : 0));
            }
        }
    }
    return face;
}

}  // namespace

TEST_CASE("a dark panel under reversed text becomes paper with a rule around it, at any slant") {
    for (const double degrees : {0.0, 8.0, -20.0}) {
        CAPTURE(degrees);
        const TextLine line = reversed_at({260, 290, 80, 20});
        const auto panels = panel_flip(with_panel(degrees, 180, 50), {&line, 1});
        REQUIRE(panels.count == 1);
        CHECK(panels.paper.row(300)[300] == 255);
        CHECK(panels.paper.row(20)[20] == 0);
        CHECK(panels.rules.row(300)[300] == 0);
        // Somewhere on the way out of the panel the rule is crossed, once.
        int most = 0;
        for (int y = 300; y < 420; ++y) most = std::max<int>(most, panels.rules.row(y)[300]);
        CHECK(most > 120);
    }
}

TEST_CASE("the rule of a slanted panel runs along its edge without steps, at round corners too") {
    for (const double degrees : {3.0, 8.0, -20.0}) {
        CAPTURE(degrees);
        const TextLine line = reversed_at({260, 290, 80, 20});
        const auto panels = panel_flip(with_panel(degrees, 180, 50), {&line, 1});
        REQUIRE(panels.count == 1);
        const double turn = degrees * 3.14159265358979 / 180.0;
        // The upper edge is where -sin (x - 300) + cos (y - 300) = -75 (plane geometry).
        for (int x = 240; x < 360; ++x) {
            const double edge = 300.0 + (-75.0 + std::sin(turn) * (x - 300)) / std::cos(turn);
            double sum = 0.0;
            double ink = 0.0;
            for (int y = static_cast<int>(edge) - 8; y < edge + 8; ++y) {
                sum += panels.rules.row(y)[x] * y;
                ink += panels.rules.row(y)[x];
            }
            REQUIRE(ink > 0.0);
            // The drawn edge itself lies up to half a pixel inside of the true one, and is whole
            // pixels.
            CHECK(std::abs(sum / ink - edge) < 1.0);
        }
        // The rule is dark on the arc of each corner, whose center is 120 and 45 px off.
        for (const double u : {-1.0, 1.0}) {
            for (const double v : {-1.0, 1.0}) {
                const double from = 30.0 * std::sqrt(0.5);
                const double cu = u * (120.0 + from), cv = v * (45.0 + from);
                const double x = 300.0 + std::cos(turn) * cu - std::sin(turn) * cv;
                const double y = 300.0 + std::sin(turn) * cu + std::cos(turn) * cv;
                int most = 0;
                for (const int dy : {-1, 0, 1}) {
                    for (const int dx : {-1, 0, 1})
                        most = std::max<int>(most, panels.rules.row(static_cast<int>(y) +
                                                                    dy)[static_cast<int>(x) + dx]);
                }
                CHECK(most > 150);
            }
        }
    }
}

TEST_CASE("a translucent panel, whose ground varies a little, is a panel too") {
    const TextLine line = reversed_at({260, 290, 80, 20});
    CHECK(panel_flip(with_panel(0.0, 180, 60, 10), {&line, 1}).count == 1);
}

TEST_CASE("a sky without an edge is no panel, nor is a light one, nor one under dark text") {
    const TextLine line = reversed_at({260, 290, 80, 20});
    CHECK(panel_flip(test::flat(600, 600, 40), {&line, 1}).count == 0);
    CHECK(panel_flip(with_panel(0.0, 90, 220), {&line, 1}).count == 0);
    TextLine dark = line;
    dark.reversed = false;
    CHECK(panel_flip(with_panel(0.0, 180, 50), {&dark, 1}).count == 0);
    CHECK(panel_flip(test::noise(60, 60, Encoding::gray, 2), {&line, 1}).count == 0);
}

TEST_CASE("a picture with a caption on it is no panel, one with an icon on it is") {
    const TextLine line = reversed_at({200, 335, 80, 20});
    const auto count_with = [&](int width, int height) {
        Image face = with_panel(0.0, 180, 50);
        for (int y = 0; y < height; ++y)
            std::fill_n(face.row(245 + y) + 300 - width / 2, width, std::uint8_t{110});
        return panel_flip(face, {&line, 1}).count;
    };
    CHECK(count_with(60, 60) == 1);   // 8 % of the panel
    CHECK(count_with(160, 85) == 0);  // 31 %
}

TEST_CASE("a dark gradient with an edge is a panel, and its icon stays") {
    const TextLine line = reversed_at({220, 290, 80, 20});
    Image face = with_panel(0.0, 200, 0);
    for (int y = 0; y < 600; ++y) {
        for (int x = 0; x < 600; ++x) {
            if (face.row(y)[x] == 0) face.row(y)[x] = static_cast<std::uint8_t>(20 + (x - 150) / 3);
        }
    }
    for (int y = 320; y < 350; ++y) std::fill_n(face.row(y) + 380, 30, std::uint8_t{220});
    const auto panels = panel_flip(face, {&line, 1});
    REQUIRE(panels.count == 1);
    for (const int x : {180, 300, 420}) CHECK(panels.paper.row(270)[x] == 255);
    CHECK(panels.paper.row(335)[395] == 0);
    CHECK(panels.paper.row(335)[350] == 255);
    // The same without an edge, as a sky that grows dark, is none.
    for (int y = 0; y < 600; ++y) {
        for (int x = 0; x < 600; ++x) face.row(y)[x] = static_cast<std::uint8_t>(20 + x / 3);
    }
    CHECK(panel_flip(face, {&line, 1}).count == 0);
}

TEST_CASE("inside of a panel means a rim away from its edge and from what stands on it") {
    const TextLine line = reversed_at({200, 335, 80, 20});
    Image face = with_panel(0.0, 180, 50);
    face.set_ppi(Ppi{300.0});
    for (int y = 250; y < 300; ++y) std::fill_n(face.row(y) + 300, 50, std::uint8_t{200});
    const auto panels = panel_flip(face, {&line, 1});
    REQUIRE(panels.count == 1);
    const Image inside = filters::panels_inside(panels, Mm{0.5});  // 6 px
    CHECK(inside.row(320)[200] == 255);
    CHECK(inside.row(275)[325] == 0);
    for (int y = 0; y < 600; ++y) {
        for (int x = 0; x < 600; ++x) REQUIRE(inside.row(y)[x] <= panels.paper.row(y)[x]);
    }
    CHECK(panels.paper.row(300)[155] > 200);
    CHECK(inside.row(300)[155] < 64);
}

TEST_CASE("two lines on one panel flip it once") {
    const TextLine lines[] = {reversed_at({200, 270, 200, 20}), reversed_at({200, 310, 200, 20})};
    CHECK(panel_flip(with_panel(0.0, 180, 50), lines).count == 1);
}

TEST_CASE("panel_flip refuses color and values outside its limits") {
    CHECK_THROWS_AS((void)panel_flip(Image(4, 4, Encoding::srgb), {}), Error);
    CHECK_THROWS_AS((void)panel_flip(Image(4, 4, Encoding::gray), {}, {.rule_ink = 2.0}), Error);
}
