// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/srgb.h"

#include <algorithm>
#include <cmath>

namespace paleproof::color {
namespace {

// IEC 61966-2-1 primaries and D65 to XYZ, 7 digits; white = row sums, so that grays are neutral.
constexpr double to_xyz[3][3] = {{0.4124564, 0.3575761, 0.1804375},
                                 {0.2126729, 0.7151522, 0.0721750},
                                 {0.0193339, 0.1191920, 0.9503041}};

// WCAG 2.2, definition of relative luminance; the weights of ITU-R BT.709.
constexpr double red_weight = 0.2126;
constexpr double green_weight = 0.7152;
constexpr double blue_weight = 0.0722;

// CIE 15: f(t) = cbrt(t) above (6/29)^3 = 216/24389, (24389/27 t + 16) / 116 below.
constexpr double epsilon = 216.0 / 24389.0;
constexpr double kappa = 24389.0 / 27.0;

double f(double t) { return t > epsilon ? std::cbrt(t) : (kappa * t + 16.0) / 116.0; }

template <class Value>
std::array<double, 256> table_of(Value value) {
    std::array<double, 256> table{};
    for (std::size_t i = 0; i < table.size(); ++i) table[i] = value(i);
    return table;
}

const std::array<double, 256>& linear_table() {
    static const std::array<double, 256> table =
        table_of([](std::size_t i) { return linear_of(static_cast<double>(i) / 255.0); });
    return table;
}

const std::array<double, 256>& lightness_table() {
    static const std::array<double, 256> table =
        table_of([](std::size_t i) { return lightness(linear_table()[i]); });
    return table;
}

}  // namespace

double linear_of(double value) {
    return value <= 0.04045 ? value / 12.92 : std::pow((value + 0.055) / 1.055, 2.4);
}

double linear(std::uint8_t code) { return linear_table()[code]; }

double encoded(double light) {
    const double l = light > 0.0 ? std::min(light, 1.0) : 0.0;  // a NaN becomes 0
    return l <= 0.0031308 ? 12.92 * l : 1.055 * std::pow(l, 1.0 / 2.4) - 0.055;
}

std::uint8_t code_of(double light) {
    return static_cast<std::uint8_t>(std::floor(255.0 * encoded(light) + 0.5));
}

double relative_luminance(Rgb8 color) {
    return red_weight * linear(color.r) + green_weight * linear(color.g) +
           blue_weight * linear(color.b);
}

double contrast_ratio(double luminance_a, double luminance_b) {
    const auto [darker, lighter] = std::minmax(luminance_a, luminance_b);
    return (lighter + 0.05) / (darker + 0.05);
}

double contrast_ratio(Rgb8 a, Rgb8 b) {
    return contrast_ratio(relative_luminance(a), relative_luminance(b));
}

Lab lab_of_linear(double r, double g, double b) {
    double relative[3];
    for (int i = 0; i < 3; ++i) {
        const double* row = to_xyz[i];
        relative[i] = f((row[0] * r + row[1] * g + row[2] * b) / (row[0] + row[1] + row[2]));
    }
    return {116.0 * relative[1] - 16.0, 500.0 * (relative[0] - relative[1]),
            200.0 * (relative[1] - relative[2])};
}

Lab lab(Rgb8 color) { return lab_of_linear(linear(color.r), linear(color.g), linear(color.b)); }

double lightness(double luminance) { return 116.0 * f(luminance) - 16.0; }

double luminance_of_lightness(double l) {
    if (l <= kappa * epsilon) return l / kappa;
    const double cube_root = (l + 16.0) / 116.0;
    return cube_root * cube_root * cube_root;
}

double lightness_of_gray(std::uint8_t code) { return lightness_table()[code]; }

GrayCodes::GrayCodes() {
    constexpr double one = 1U << 24U;
    for (std::size_t i = 0; i < 256; ++i) {
        const double light = linear(static_cast<std::uint8_t>(i)) * one;
        red_[i] = static_cast<std::uint32_t>(std::lround(red_weight * light));
        green_[i] = static_cast<std::uint32_t>(std::lround(green_weight * light));
        blue_[i] = static_cast<std::uint32_t>(std::lround(blue_weight * light));
        next_[i] = static_cast<std::uint32_t>(
            std::ceil(linear_of((static_cast<double>(i) + 0.5) / 255.0) * one));
    }
    std::size_t code = 0;
    for (std::size_t bucket = 0; bucket < code_.size(); ++bucket) {
        while (code < 255 && next_[code] <= (bucket << 8U)) ++code;
        code_[bucket] = static_cast<std::uint8_t>(code);
    }
}

const GrayCodes& gray_codes() {
    static const GrayCodes codes;
    return codes;
}

std::uint8_t gray_code(std::uint8_t r, std::uint8_t g, std::uint8_t b) {
    return gray_codes()(r, g, b);
}

}  // namespace paleproof::color
