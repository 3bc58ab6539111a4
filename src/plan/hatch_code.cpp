// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/hatch_code.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>
#include <string_view>

namespace paleproof::plan {
namespace {

// Width and pitch are no part of the convention: what a home printer holds and an eye still sees as
// a tone on a card in the hand. 0.12 mm = 0.34 pt.
constexpr Mm pitch{0.9};
constexpr Mm width{0.12};
constexpr Mm dot{0.3};
constexpr std::array pitch_steps{1.0, 1.7, 0.6, 2.6};

constexpr double least_chroma = 22.0;  // CIELAB: cream, stone and mist are no colors that tell
constexpr double dark = 20.0;          // L* under which what has no color is black
constexpr double deep_red = 38.0;      // L* under which red is dark red
constexpr double deep_orange = 52.0;   // and orange is brown

enum class Tincture { none, red, blue, green, purple, gold, orange, dark_red, brown, black };

std::string_view name(Tincture tincture) {
    constexpr std::array<std::string_view, 10> names{
        "", "red", "blue", "green", "purple", "gold", "orange", "dark red", "brown", "black"};
    return names[static_cast<std::size_t>(tincture)];
}

/// By the hue angle in CIELAB. Primaries of sRGB for orientation: red 40, yellow 103, green 136,
/// cyan 196, blue 306, magenta 328 degrees.
Tincture tincture_of(color::Rgb8 color) {
    const color::Lab lab = color::lab(color);
    const double chroma = std::hypot(lab.a, lab.b);
    if (chroma < least_chroma) return lab.l < dark ? Tincture::black : Tincture::none;
    double hue = std::atan2(lab.b, lab.a) * 180.0 / std::numbers::pi;
    if (hue < 0.0) hue += 360.0;
    if (hue < 48.0 || hue >= 345.0) {
        return lab.l < deep_red ? Tincture::dark_red : Tincture::red;
    }
    if (hue < 70.0) return lab.l < deep_orange ? Tincture::brown : Tincture::orange;
    if (hue < 105.0) return lab.l < deep_orange ? Tincture::brown : Tincture::gold;
    if (hue < 195.0) return Tincture::green;
    if (hue < 300.0) return Tincture::blue;
    return Tincture::purple;
}

PatternSample pattern(Tincture tincture, double step) {
    PatternSample sample;
    const auto lines = [&](double angle) { sample.lines.push_back({angle, pitch * step, width}); };
    switch (tincture) {
        case Tincture::none:
            break;
        case Tincture::red:
            lines(90.0);
            break;
        case Tincture::blue:
            lines(0.0);
            break;
        case Tincture::green:
            lines(135.0);
            break;
        case Tincture::purple:
            lines(45.0);
            break;
        case Tincture::gold:
            sample.dots = PatternDots{pitch * step, dot};
            break;
        case Tincture::orange:
            lines(45.0);
            lines(0.0);
            break;
        case Tincture::dark_red:
            lines(45.0);
            lines(135.0);
            break;
        case Tincture::brown:
            lines(135.0);
            lines(90.0);
            break;
        case Tincture::black:
            lines(90.0);
            lines(0.0);
            break;
    }
    return sample;
}

std::string label_of(Tincture tincture, std::size_t variant) {
    std::string label(name(tincture));
    if (variant > 0) label += " " + std::to_string(variant + 1);
    return label;
}

}  // namespace

std::vector<ColorPattern> hatch_code(std::span<const TellingColor> colors,
                                     std::span<const std::pair<std::size_t, std::size_t>> apart) {
    std::vector<std::size_t> order(colors.size());
    std::iota(order.begin(), order.end(), 0U);
    std::ranges::stable_sort(
        order, [&](std::size_t a, std::size_t b) { return colors[a].share > colors[b].share; });
    std::vector<Tincture> tinctures(colors.size());
    std::vector<std::size_t> variant(colors.size(), 0);
    std::vector<bool> done(colors.size(), false);
    std::vector<ColorPattern> result(colors.size());
    for (const std::size_t i : order) {
        tinctures[i] = tincture_of(colors[i].color);
        std::array<bool, pitch_steps.size()> used{};
        for (const auto& [a, b] : apart) {
            if (a != i && b != i) continue;
            const std::size_t other = a == i ? b : a;
            if (other < colors.size() && done[other] && tinctures[other] == tinctures[i])
                used[variant[other]] = true;
        }
        const auto free = std::ranges::find(used, false);
        // More than four of one name that must be told apart: the last ones share a pitch.
        variant[i] =
            free == used.end() ? used.size() - 1 : static_cast<std::size_t>(free - used.begin());
        done[i] = true;
        result[i] = {{colors[i].color.r, colors[i].color.g, colors[i].color.b},
                     label_of(tinctures[i], variant[i]),
                     pattern(tinctures[i], pitch_steps[variant[i]])};
    }
    return result;
}

}  // namespace paleproof::plan
