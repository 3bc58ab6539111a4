// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Letters over a drop shadow. Sizes against the outlines of x and H, by FreeType; contrasts of
// letters and ground by the formulas of WCAG 2.2 (relative luminance, contrast ratio).
#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "core/image.h"
#include "survey/text/text_finder.h"
#include "typeset.h"

using namespace paleproof;
using survey::TextFinder;
using test::draw;
using test::plain;

namespace {

std::vector<TextLine> lines_of(const Image& image) {
    static const TextFinder finder;
    return finder.find(image, image.ppi()).lines;
}

/// WCAG 2.2, "relative luminance".
double luminance(RgbCode c) {
    const auto linear = [](int code) {
        const double v = code / 255.0;
        return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * linear(c[0]) + 0.7152 * linear(c[1]) + 0.0722 * linear(c[2]);
}

double ratio(RgbCode a, RgbCode b) {
    const double p = luminance(a), q = luminance(b);
    return (std::max(p, q) + 0.05) / (std::min(p, q) + 0.05);
}

/// Mean of the 3 x 3 pixels around each.
void soften(Image& image) {
    const Image from = image;
    for (int y = 1; y + 1 < image.height(); ++y) {
        for (int x = 1; x + 1 < image.width(); ++x) {
            for (int c = 0; c < 3; ++c) {
                int sum = 0;
                for (int v = y - 1; v <= y + 1; ++v) {
                    for (int u = x - 1; u <= x + 1; ++u) sum += from.row(v)[3 * u + c];
                }
                image.row(y)[3 * x + c] = static_cast<std::uint8_t>(sum / 9);
            }
        }
    }
}

struct Colors {
    const char* what;
    RgbCode ground, letter, shadow;
};

const std::vector<Colors> shadows_as_strong_as_letters = {
    {"of the letters' lightness", {242, 217, 227}, {111, 111, 208}, {130, 110, 122}},
    {"stronger, on the letters' side", {16, 22, 38}, {82, 82, 82}, {235, 235, 235}},
    {"stronger, on the other side", {176, 170, 160}, {236, 230, 215}, {20, 16, 12}},
    {"black under gray letters", {236, 244, 228}, {150, 146, 170}, {40, 46, 38}},
};

}  // namespace

TEST_CASE("letters are measured without their shadow, however strong it is") {
    for (const bool soft : {false, true}) {
        for (const Colors& colors : shadows_as_strong_as_letters) {
            for (const std::string font :
                 {"dejavu/DejaVuSans.ttf", "liberation2/LiberationSans-Bold.ttf"}) {
                CAPTURE(colors.what);
                CAPTURE(font);
                CAPTURE(soft);
                Image face = plain(900, 240, colors.ground);
                test::Setting setting{.font = font,
                                      .text = "Some dark hedge grows near",
                                      .px = 44,
                                      .x = 60,
                                      .y = 130,
                                      .ink = colors.shadow};
                test::Setting shadow = setting;
                shadow.x += 3;
                shadow.y += 3;
                draw(face, shadow);
                if (soft) soften(face);
                setting.ink = colors.letter;
                const auto facts = draw(face, setting);
                const auto lines = lines_of(face);
                REQUIRE(lines.size() == 1);
                CHECK(lines[0].x_height_px == doctest::Approx(facts.x_height).epsilon(0.07));
                CHECK(lines[0].reversed == (luminance(colors.letter) > luminance(colors.ground)));
                CHECK(lines[0].contrast ==
                      doctest::Approx(ratio(colors.letter, colors.ground)).epsilon(0.08));
            }
        }
    }
}

TEST_CASE(
    "a shadow that looks unlike its letters is told from them; one like them is as good as ink") {
    const auto line_over = [](RgbCode letter, RgbCode shadow_color, RgbCode ground) {
        Image face = plain(900, 240, ground);
        test::Setting setting{.font = "liberation2/LiberationSans-Bold.ttf",
                              .text = "Some dark hedge grows near",
                              .px = 44,
                              .x = 60,
                              .y = 130,
                              .ink = shadow_color};
        test::Setting shadow = setting;
        shadow.x += 3;
        shadow.y += 3;
        draw(face, shadow);
        setting.ink = letter;
        draw(face, setting);
        const auto lines = lines_of(face);
        REQUIRE(lines.size() == 1);
        return lines[0];
    };
    const auto near = [](RgbCode a, RgbCode b) {
        return std::abs(a[0] - b[0]) < 30 && std::abs(a[1] - b[1]) < 30 &&
               std::abs(a[2] - b[2]) < 30;
    };
    constexpr RgbCode yellow{240, 247, 193}, violet{187, 155, 241}, black{40, 42, 36};
    const TextLine told = line_over(violet, black, yellow);
    REQUIRE(told.shadow_color.has_value());
    CHECK(near(*told.shadow_color, black));
    CHECK(near(told.text_color, violet));
    CHECK_FALSE(line_over({60, 62, 50}, black, yellow).shadow_color.has_value());
}

TEST_CASE("letters without a shadow keep their color, also thin ones between pixel rows") {
    const RgbCode ground{232, 255, 240}, ink{120, 118, 122};
    for (int step = 0; step < 5; ++step) {
        const double off = step * 0.2;
        CAPTURE(off);
        Image face = plain(700, 160, ground);
        const auto facts = draw(
            face,
            {.text = "TAKE THE LIFT TO LEFT", .px = 30, .x = 50 + off, .y = 90 + off, .ink = ink});
        const auto lines = lines_of(face);
        REQUIRE(lines.size() == 1);
        CHECK(lines[0].cap_height_px == doctest::Approx(facts.cap_height).epsilon(0.05));
        CHECK(lines[0].contrast == doctest::Approx(ratio(ink, ground)).epsilon(0.05));
    }
}
