// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/hatch_code.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

using namespace paleproof;
using plan::hatch_code;
using plan::TellingColor;

namespace {

ColorPattern only(color::Rgb8 color) {
    const TellingColor one{color, 1.0};
    return hatch_code({&one, 1}, {}).front();
}

std::vector<double> angles(const ColorPattern& pattern) {
    std::vector<double> result;
    for (const PatternLines& lines : pattern.sample.lines) result.push_back(lines.angle_deg);
    std::ranges::sort(result);
    return result;
}

using Angles = std::vector<double>;

}  // namespace

TEST_CASE("the seven tinctures have the hatching that heraldry books describe") {
    // Silvester Petra Sancta 1638, directions as the viewer sees them after Chambers's
    // Encyclopaedia, "Heraldry": gules upright, azure level, vert from dexter chief to sinister
    // base (top left to bottom right), purpure from sinister chief to dexter base (top right to
    // bottom left), sable upright and level, or dots, argent plain. 0 = level, 45 = rising to the
    // right.
    CHECK(angles(only({200, 30, 40})) == Angles{90});
    CHECK(angles(only({30, 80, 190})) == Angles{0});
    CHECK(angles(only({40, 140, 60})) == Angles{135});
    CHECK(angles(only({120, 40, 150})) == Angles{45});
    CHECK(angles(only({15, 15, 15})) == Angles{0, 90});
    const ColorPattern gold = only({235, 190, 50});
    CHECK(gold.sample.lines.empty());
    CHECK(gold.sample.dots.has_value());
    const ColorPattern white = only({255, 255, 255});
    CHECK(white.sample.lines.empty());
    CHECK_FALSE(white.sample.dots.has_value());
}

TEST_CASE("the later tinctures follow the choices that the docs name") {
    // Tenne: British form. Sanguine: British form. Brown: Ciric 1988. The sources disagree.
    CHECK(angles(only({230, 130, 60})) == Angles{0, 45});
    CHECK(angles(only({110, 15, 25})) == Angles{45, 135});
    CHECK(angles(only({110, 70, 30})) == Angles{90, 135});
}

TEST_CASE("colors have the names that people give them") {
    // sRGB values of CSS Color 4 names.
    CHECK(only({255, 0, 0}).label == "red");
    CHECK(only({0, 128, 0}).label == "green");
    CHECK(only({65, 105, 225}).label == "blue");
    CHECK(only({128, 0, 128}).label == "purple");
    CHECK(only({255, 215, 0}).label == "gold");
    CHECK(only({255, 140, 0}).label == "orange");
    CHECK(only({139, 0, 0}).label == "dark red");
    CHECK(only({139, 69, 19}).label == "brown");
    CHECK(only({250, 235, 215}).label.empty());
    CHECK(only({128, 128, 128}).label.empty());
}

TEST_CASE("two greens that must be told apart get two pitches, others share one") {
    const std::vector<TellingColor> greens{
        {{60, 160, 70}, 0.1}, {{20, 90, 40}, 0.3}, {{90, 180, 90}, 0.2}};
    const std::vector<std::pair<std::size_t, std::size_t>> apart{{0, 1}};
    const auto code = hatch_code(greens, apart);
    CHECK(code[0].sample != code[1].sample);
    CHECK(code[1].sample == code[2].sample);
    CHECK(code[1].label == "green");
    CHECK(code[0].label == "green 2");
}

TEST_CASE("lines of every pattern hold on a home printer, and the ink is known") {
    for (const color::Rgb8 color : {color::Rgb8{200, 30, 40}, color::Rgb8{30, 80, 190}}) {
        const PatternLines lines = only(color).sample.lines.front();
        // Not under 0.25 pt (common practice); ink of lines = width / pitch.
        CHECK(points(lines.width) >= 0.25);
        CHECK(lines.width / lines.pitch < 0.15);
    }
}
