// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstdint>

namespace paleproof::color {

/// One sRGB color, 8 bits per channel (IEC 61966-2-1).
struct Rgb8 {
    std::uint8_t r = 0, g = 0, b = 0;
    friend bool operator==(const Rgb8&, const Rgb8&) = default;
};

/// CIELAB (CIE 15, ISO/CIE 11664-4). lab() gives it for D65; what paper shows is for D50, as
/// printing is measured.
struct Lab {
    double l = 0, a = 0, b = 0;  ///< L* 0..100, a*, b*
};

/// Linear light 0..1 of an 8-bit sRGB code (IEC 61966-2-1:1999, 5.2).
[[nodiscard]] double linear(std::uint8_t code);

/// Linear light 0..1 of an sRGB value 0..1, for other depths than 8 bits.
[[nodiscard]] double linear_of(double value);

/// sRGB value 0..1 of linear light; the light is clamped to 0..1 first.
[[nodiscard]] double encoded(double light);

/// The 8-bit sRGB code nearest to linear light: round(255 * encoded(light)), halves up.
[[nodiscard]] std::uint8_t code_of(double light);

/// Relative luminance 0..1: 0.2126 R + 0.7152 G + 0.0722 B in linear light (WCAG 2.2).
[[nodiscard]] double relative_luminance(Rgb8 color);

/// (lighter + 0.05) / (darker + 0.05) of two relative luminances, 1..21 (WCAG 2.2).
[[nodiscard]] double contrast_ratio(double luminance_a, double luminance_b);
[[nodiscard]] double contrast_ratio(Rgb8 a, Rgb8 b);

/// CIELAB for D65, 2 degree observer. The white is the sum of the matrix rows, so grays have a* =
/// b* = 0 to rounding.
[[nodiscard]] Lab lab(Rgb8 color);

/// CIELAB for D65 of linear light per channel, each 0..1.
[[nodiscard]] Lab lab_of_linear(double r, double g, double b);

/// L* 0..100 of relative luminance 0..1 (CIE 15, with the exact constants 216/24389 and
/// 24389/27), and back.
[[nodiscard]] double lightness(double luminance);
[[nodiscard]] double luminance_of_lightness(double l);

/// L* of an 8-bit gray code, from a table.
[[nodiscard]] double lightness_of_gray(std::uint8_t code);

/// Integer tables that turn a color into the gray of the same luminance. Get the one object from
/// gray_codes() outside of a loop and call it inside.
///
/// Result: round(255 * encoded(relative_luminance)), halves up, for every one of the 2^24 colors
/// whose luminance is not within 1e-7 of a rounding limit (there it may go either way). Neutrals
/// are unchanged; black stays 0, white 255; never darker when a channel rises.
class GrayCodes {
  public:
    GrayCodes();
    [[nodiscard]] std::uint8_t operator()(std::uint8_t r, std::uint8_t g, std::uint8_t b) const {
        const std::uint32_t sum = red_[r] + green_[g] + blue_[b];
        const std::uint8_t code = code_[sum >> 8U];
        return static_cast<std::uint8_t>(code + (sum >= next_[code] ? 1U : 0U));
    }

  private:
    // Luminance in units of 2^-24. No bucket of 2^8 units holds two rounding limits: the closest
    // two are 1 / (255 * 12.92) = 5092 units apart.
    std::array<std::uint32_t, 256> red_{}, green_{}, blue_{};
    std::array<std::uint32_t, 256> next_{};  // least luminance that rounds to the next code
    std::array<std::uint8_t, 65537> code_{};
};

[[nodiscard]] const GrayCodes& gray_codes();

/// The same for one color.
[[nodiscard]] std::uint8_t gray_code(std::uint8_t r, std::uint8_t g, std::uint8_t b);

}  // namespace paleproof::color
