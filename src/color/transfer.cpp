// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/transfer.h"

#include <cmath>

#include "color/srgb.h"

namespace paleproof::color {
namespace {

Shaper::Curve power(double exponent) {
    return [exponent](double value) { return std::pow(value, exponent); };
}

// ITU-R BT.709 opto-electronic curve, inverted.
double bt709(double value) {
    return value < 0.081 ? value / 4.5 : std::pow((value + 0.099) / 1.099, 1.0 / 0.45);
}

}  // namespace

Shaper::Curve gamma_curve(double file_gamma) {
    constexpr double srgb_file_gamma = 0.45455;
    constexpr double half_step = 0.000005;
    if (std::abs(file_gamma - srgb_file_gamma) <= half_step) return linear_of;
    return power(1.0 / file_gamma);
}

std::optional<Shaper::Curve> h273_curve(std::uint8_t transfer) {
    switch (transfer) {
        case 1:
        case 6:
        case 14:
        case 15:
            return bt709;
        case 4:
            return power(2.2);
        case 5:
            return power(2.8);
        case 8:
            return power(1.0);
        case 13:
            return linear_of;
        default:
            return std::nullopt;
    }
}

std::optional<Chromaticities> h273_primaries(std::uint8_t primaries) {
    switch (primaries) {
        case 1:
            return Chromaticities{};
        case 5:
            return Chromaticities{0.3127, 0.3290, 0.64, 0.33, 0.29, 0.60, 0.15, 0.06};
        case 6:
            return Chromaticities{0.3127, 0.3290, 0.630, 0.340, 0.310, 0.595, 0.155, 0.070};
        case 9:
            return Chromaticities{0.3127, 0.3290, 0.708, 0.292, 0.170, 0.797, 0.131, 0.046};
        case 11:
            return Chromaticities{0.314, 0.351, 0.680, 0.320, 0.265, 0.690, 0.150, 0.060};
        case 12:
            return Chromaticities{0.3127, 0.3290, 0.680, 0.320, 0.265, 0.690, 0.150, 0.060};
        default:
            return std::nullopt;
    }
}

}  // namespace paleproof::color
