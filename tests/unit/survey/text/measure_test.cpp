// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Sizes against the outlines of x and H of the fonts that rendered the lines, by FreeType;
// contrasts against the pairs of WCAG 2.2.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/image.h"
#include "survey/text/text_finder.h"
#include "typeset.h"

using namespace paleproof;
using survey::TextFinder;
using test::draw;
using test::plain;

namespace {

const TextFinder& finder() {
    static const TextFinder one;
    return one;
}

const std::vector<std::string> fonts = {"dejavu/DejaVuSans.ttf",
                                        "dejavu/DejaVuSerif-Bold.ttf",
                                        "liberation2/LiberationSans-Italic.ttf",
                                        "liberation2/LiberationSerif-Regular.ttf",
                                        "liberation2/LiberationSans-Bold.ttf",
                                        "liberation2/LiberationMono-Regular.ttf"};

std::vector<TextLine> lines_of(const Image& image) {
    return finder().find(image, image.ppi()).lines;
}

}  // namespace

TEST_CASE("x-height is that of the font's outline, from 5 to 20 pt and 150 to 600 ppi") {
    std::vector<double> errors;
    for (const std::string& font : fonts) {
        for (const double ppi : {150.0, 300.0, 600.0}) {
            for (const double pt : {5.0, 7.0, 11.0, 20.0}) {
                const double px = pt / 72 * ppi;
                if (px < 14) {
                    continue;  // letters of 7 pixels: found or not, sizes are rough
                }
                CAPTURE(font);
                CAPTURE(ppi);
                CAPTURE(pt);
                Image face = plain(static_cast<int>(22 * px), static_cast<int>(8 * px),
                                   {240, 236, 220}, ppi);
                const auto facts = draw(face, {.font = font,
                                               .text = "Take one lamp from the shelf",
                                               .px = px,
                                               .x = 2 * px,
                                               .y = 4 * px + 0.3,
                                               .ink = {30, 26, 60}});
                const auto lines = lines_of(face);
                REQUIRE(lines.size() == 1);
                CHECK_FALSE(lines[0].capitals_only);
                CHECK_FALSE(lines[0].reversed);
                CHECK(lines[0].x_height_px == doctest::Approx(facts.x_height).epsilon(0.10));
                CHECK(lines[0].x_height.value ==
                      doctest::Approx(lines[0].x_height_px * 25.4 / ppi));
                // The font is unknown: its size must lie in the range that is stated.
                CHECK(lines[0].point_size_low <= pt * 1.02);
                CHECK(lines[0].point_size_high >= pt * 0.98);
                errors.push_back(std::abs(lines[0].x_height_px / facts.x_height - 1));
            }
        }
    }
    std::sort(errors.begin(), errors.end());
    CHECK(errors[errors.size() / 2] <= 0.03);
    CHECK(errors[errors.size() * 95 / 100] <= 0.10);
}

TEST_CASE("capitals and figures are told and measured by the cap height") {
    for (const std::string& font : fonts) {
        CAPTURE(font);
        Image face = plain(900, 240, {255, 255, 255});
        const auto facts = draw(
            face, {.font = font, .text = "NIGHT HAS FALLEN 1248", .px = 44, .x = 60, .y = 140});
        const auto lines = lines_of(face);
        REQUIRE(lines.size() == 1);
        CHECK(lines[0].capitals_only);
        CHECK(lines[0].cap_height_px == doctest::Approx(facts.cap_height).epsilon(0.05));
        CHECK(lines[0].x_height_px == doctest::Approx(0.72 * lines[0].cap_height_px));
    }
}

TEST_CASE("contrast is that of the two colors") {
    // WCAG 2.2 ratios of these pairs, to four digits.
    struct Pair {
        RgbCode ink, ground;
        double ratio;
    };
    for (const Pair& pair :
         {Pair{{0, 0, 0}, {255, 255, 255}, 21.0}, Pair{{0x76, 0x76, 0x76}, {255, 255, 255}, 4.5422},
          Pair{{0x95, 0x95, 0x95}, {255, 255, 255}, 2.9953},
          Pair{{0x80, 0x80, 0x80}, {0, 0, 0}, 5.3172}, Pair{{255, 0, 0}, {255, 255, 255}, 3.9985},
          Pair{{0, 0, 255}, {255, 255, 0}, 8.0016}, Pair{{255, 0, 0}, {0, 0, 255}, 2.1489}}) {
        CAPTURE(pair.ratio);
        Image face = plain(800, 200, pair.ground);
        draw(face, {.text = "Seven moths at dusk", .px = 50, .x = 60, .y = 120, .ink = pair.ink});
        const auto lines = lines_of(face);
        REQUIRE(lines.size() == 1);
        CHECK(lines[0].contrast == doctest::Approx(pair.ratio).epsilon(0.03));
        CHECK(lines[0].text_color == pair.ink);
        CHECK(lines[0].ground_color == pair.ground);
    }
}

TEST_CASE("reversed text is light on dark, whatever the colors") {
    Image face = plain(800, 200, {20, 60, 30});
    draw(face,
         {.text = "Seven moths at dusk", .px = 50, .x = 60, .y = 120, .ink = {240, 220, 120}});
    const auto lines = lines_of(face);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].reversed);
}

TEST_CASE("an outline is the ground of its letters") {
    // White letters with a black rim on mid gray: 21 : 1 to the rim, 3.9494 to the gray.
    Image face = plain(900, 220, {0x80, 0x80, 0x80});
    draw(face, {.text = "Lantern Keeper",
                .px = 72,
                .x = 80,
                .y = 140,
                .ink = {255, 255, 255},
                .outline_px = 4});
    const auto lines = lines_of(face);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].reversed);
    CHECK(lines[0].contrast > 18.0);
    CHECK(lines[0].ground_color[0] < 24);
}

TEST_CASE("where the ground changes the weakest tenth of the length counts, not the mean") {
    // Black letters; the right third of the ground is darker: #767676, 4.6 : 1 to black.
    Image face = plain(900, 200, {255, 255, 255});
    for (int y = 0; y < 200; ++y) {
        std::fill(face.row(y) + 3 * 520, face.row(y) + 3 * 900, std::uint8_t{0x76});
    }
    draw(face, {.text = "Seven moths at dusk again", .px = 50, .x = 60, .y = 120});
    const auto lines = lines_of(face);
    REQUIRE(lines.size() >= 1);
    const auto weakest =
        std::min_element(lines.begin(), lines.end(),
                         [](const auto& a, const auto& b) { return a.contrast < b.contrast; });
    CHECK(weakest->contrast == doctest::Approx(4.62).epsilon(0.08));
}

TEST_CASE("what paper shows is asked for both colors") {
    Image face = plain(800, 200, {255, 255, 255});
    draw(face, {.text = "Seven moths at dusk", .px = 50, .x = 60, .y = 120});
    // Paper of luminance 0.88 and black ink of 0.07: (0.93) / (0.12) = 7.75.
    const auto paper = [](RgbCode c) { return c[0] > 128 ? 0.88 : 0.07; };
    const auto lines = finder().find(face, face.ppi(), paper).lines;
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].paper_contrast == doctest::Approx(7.75));
    CHECK(lines[0].contrast == doctest::Approx(21.0).epsilon(0.01));
}

TEST_CASE("strokes are as wide as the stem of the letters") {
    // An I of DejaVu Sans Mono is no help; the stem of l in DejaVu Sans is 0.0900 em (outline, by
    // hand from the glyph's 184 of 2048 units).
    Image face = plain(900, 240, {255, 255, 255});
    draw(face, {.text = "lillillil lilli", .px = 80, .x = 60, .y = 140});
    const auto lines = lines_of(face);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].stroke_px == doctest::Approx(184.0 / 2048 * 80).epsilon(0.15));
}
