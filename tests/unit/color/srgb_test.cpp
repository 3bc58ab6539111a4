// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/srgb.h"

#include <doctest/doctest.h>

#include <cmath>

#include "unit/color/reference_tables.h"

using namespace paleproof::color;
namespace reference = paleproof::reference;

namespace {

Rgb8 rgb(std::uint32_t hex) {
    return {static_cast<std::uint8_t>(hex >> 16U), static_cast<std::uint8_t>(hex >> 8U),
            static_cast<std::uint8_t>(hex)};
}

double difference(double a, double b) { return std::abs(a - b); }

}  // namespace

// IEC 61966-2-1:1999, 5.2.
TEST_CASE("the sRGB curve decodes as the standard says") {
    for (const auto& row : reference::decoded_codes) {
        CAPTURE(row.code);
        CHECK(difference(linear(row.code), row.linear) < 1e-9);
    }
}

TEST_CASE("encoding undoes decoding for every code") {
    for (int code = 0; code < 256; ++code) {
        CAPTURE(code);
        const auto c = static_cast<std::uint8_t>(code);
        CHECK(code_of(linear(c)) == c);
        CHECK(difference(encoded(linear(c)) * 255.0, code) < 1e-4);
    }
}

TEST_CASE("light outside 0..1, or none at all, is encoded as black or white") {
    CHECK(code_of(-0.5) == 0);
    CHECK(code_of(7.0) == 255);
    CHECK(code_of(std::nan("")) == 0);
}

// W3C, WCAG 2.2, relative luminance and contrast ratio.
TEST_CASE("contrast ratios are those of WCAG 2.2, in either order") {
    static_assert(reference::contrast_pairs.size() >= 30);
    for (const auto& pair : reference::contrast_pairs) {
        CAPTURE(pair.a);
        CAPTURE(pair.b);
        CHECK(difference(relative_luminance(rgb(pair.a)), pair.luminance_a) < 1e-8);
        CHECK(difference(contrast_ratio(rgb(pair.a), rgb(pair.b)), pair.ratio) < 1e-7);
        CHECK(contrast_ratio(rgb(pair.a), rgb(pair.b)) == contrast_ratio(rgb(pair.b), rgb(pair.a)));
    }
}

// WCAG 2.2, 1.4.3, 1.4.6 and 1.4.11; the boundaries follow from the definition.
TEST_CASE("the lightest grays that pass 3, 4.5 and 7 on white are 148, 118 and 89") {
    const Rgb8 white{255, 255, 255};
    const auto gray = [](int code) {
        const auto c = static_cast<std::uint8_t>(code);
        return Rgb8{c, c, c};
    };
    for (const auto& [code, limit] : {std::pair{148, 3.0}, {118, 4.5}, {89, 7.0}}) {
        CHECK(contrast_ratio(gray(code), white) >= limit);
        CHECK(contrast_ratio(gray(code + 1), white) < limit);
    }
}

// CIE 15; 0.03 is what the roundings of the published matrices and whites differ by.
TEST_CASE("CIELAB of sRGB colors agrees with the published values") {
    for (const auto& row : reference::lab_values) {
        CAPTURE(row.rgb);
        const Lab found = lab(rgb(row.rgb));
        CHECK(difference(found.l, row.l) < 0.03);
        CHECK(difference(found.a, row.a) < 0.03);
        CHECK(difference(found.b, row.b) < 0.03);
    }
}

// CIE 15: L* of some luminances, with the exact constants; L* = 8 at the join.
TEST_CASE("lightness follows CIE 15 and back") {
    for (const auto& [a_y, l] : {std::pair{0.01, 8.9914},
                                 {0.05, 26.7348},
                                 {0.0722, 32.3026},
                                 {0.18, 49.4961},
                                 {0.1841865, 50.0},
                                 {0.2126, 53.2329},
                                 {0.5, 76.0693},
                                 {0.7152, 87.7370},
                                 {0.9278, 97.1382}}) {
        const double y = a_y;  // clang 14 captures no bindings
        CAPTURE(y);
        CHECK(difference(lightness(y), l) < 5e-5);
        CHECK(difference(luminance_of_lightness(lightness(y)), y) < 1e-12);
    }
    CHECK(difference(lightness(216.0 / 24389.0), 8.0) < 1e-12);
    CHECK(difference(luminance_of_lightness(4.0), 4.0 * 27.0 / 24389.0) < 1e-15);
}

TEST_CASE("the lightness of a gray code is that of its color") {
    for (int code = 0; code < 256; ++code) {
        const auto c = static_cast<std::uint8_t>(code);
        CHECK(difference(lightness_of_gray(c), lab({c, c, c}).l) < 1e-9);
    }
    // CIE 15 through IEC 61966-2-1.
    CHECK(difference(lightness_of_gray(118), 49.64) < 0.005);
    CHECK(difference(lightness_of_gray(119), 50.03) < 0.005);
}

// The code of the luminance, not of a luma: red is 127, green 220, blue 76 (weights of ITU-R BT.709
// on linear light, IEC 61966-2-1 curve; computed outside the project).
TEST_CASE("gray codes are the sRGB code of the luminance") {
    CHECK(gray_code(255, 0, 0) == 127);
    CHECK(gray_code(0, 255, 0) == 220);
    CHECK(gray_code(0, 0, 255) == 76);
    CHECK(gray_code(255, 255, 0) == 247);
    CHECK(gray_code(0, 255, 255) == 229);
    CHECK(gray_code(255, 0, 255) == 145);
    CHECK(gray_code(0xFF, 0xA5, 0) == 184);
    CHECK(gray_code(0x80, 0, 0x80) == 70);
    CHECK(gray_code(0, 0x80, 0) == 109);
}

TEST_CASE("neutrals keep their gray code") {
    for (int code = 0; code < 256; ++code) {
        const auto c = static_cast<std::uint8_t>(code);
        CHECK(gray_code(c, c, c) == c);
    }
}

TEST_CASE("gray codes round the exact luminance for all colors of a dense grid") {
    const GrayCodes& gray = gray_codes();
    int wrong = 0;
    for (int r = 0; r < 256; r += 3) {
        for (int g = 0; g < 256; ++g) {
            for (int b = 0; b < 256; b += 3) {
                const Rgb8 color{static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g),
                                 static_cast<std::uint8_t>(b)};
                const double exact = 255.0 * encoded(relative_luminance(color));
                const double off = difference(exact, gray(color.r, color.g, color.b));
                // 1e-7 of luminance is at most 1e-7 * 255 * 12.92 codes.
                if (off > 0.5 + 3.3e-4) ++wrong;
            }
        }
    }
    CHECK(wrong == 0);
}

TEST_CASE("gray codes never fall when a channel rises") {
    const GrayCodes& gray = gray_codes();
    int falls = 0;
    for (int a = 0; a < 256; a += 5) {
        for (int b = 0; b < 256; b += 5) {
            for (int c = 1; c < 256; ++c) {
                const auto x = static_cast<std::uint8_t>(a), y = static_cast<std::uint8_t>(b);
                const auto high = static_cast<std::uint8_t>(c);
                const auto low = static_cast<std::uint8_t>(c - 1);
                falls += gray(high, x, y) < gray(low, x, y);
                falls += gray(x, high, y) < gray(x, low, y);
                falls += gray(x, y, high) < gray(x, y, low);
            }
        }
    }
    CHECK(falls == 0);
}
