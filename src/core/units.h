// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <compare>
#include <string_view>

namespace paleproof {

/// Lengths are kept in millimeters inside; inches and points exist at the edges only.
/// 1 in = 25.4 mm exactly (international inch); 1 pt = 1/72 in (PDF, CSS).
inline constexpr double mm_per_inch = 25.4;
inline constexpr double points_per_inch = 72.0;

struct Mm {
    double value = 0.0;
    friend constexpr auto operator<=>(Mm, Mm) = default;
    friend constexpr Mm operator+(Mm a, Mm b) { return {a.value + b.value}; }
    friend constexpr Mm operator-(Mm a, Mm b) { return {a.value - b.value}; }
    friend constexpr Mm operator*(Mm a, double k) { return {a.value * k}; }
    friend constexpr Mm operator*(double k, Mm a) { return {a.value * k}; }
    friend constexpr Mm operator/(Mm a, double k) { return {a.value / k}; }
    friend constexpr double operator/(Mm a, Mm b) { return a.value / b.value; }
};

/// Pixels per inch of an image at its printed size; 0 means not known.
struct Ppi {
    double value = 0.0;
    friend constexpr auto operator<=>(Ppi, Ppi) = default;
};

[[nodiscard]] constexpr Mm from_inches(double inches) { return {inches * mm_per_inch}; }
[[nodiscard]] constexpr Mm from_points(double points) {
    return {points * mm_per_inch / points_per_inch};
}
[[nodiscard]] constexpr double inches(Mm length) { return length.value / mm_per_inch; }
[[nodiscard]] constexpr double points(Mm length) {
    return length.value * points_per_inch / mm_per_inch;
}
/// Length in pixels, not rounded.
[[nodiscard]] constexpr double pixels(Mm length, Ppi ppi) {
    return length.value / mm_per_inch * ppi.value;
}
[[nodiscard]] constexpr Mm from_pixels(double count, Ppi ppi) {
    return {count * mm_per_inch / ppi.value};
}

/// "3mm", "0.125in", "7pt", "1.5cm" -> Mm. A bare number, another unit or a negative length where
/// none makes sense is Error{range}, subject = `what` (the option or key the text belongs to).
[[nodiscard]] Mm parse_length(std::string_view text, std::string_view what);

/// The same, but minus is allowed (back_shift).
[[nodiscard]] Mm parse_signed_length(std::string_view text, std::string_view what);

/// "12%" or "0.12" -> 0.12; Error{range} outside 0..`most`.
[[nodiscard]] double parse_share(std::string_view text, std::string_view what, double most = 1.0);

}  // namespace paleproof
