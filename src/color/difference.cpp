// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/difference.h"

#include <cmath>
#include <numbers>

namespace paleproof::color {
namespace {

constexpr double pi = std::numbers::pi;

double radians(double degrees) { return degrees * pi / 180.0; }

// Equations (7): hue angle in degrees, 0 for a neutral.
double hue(double a, double b) {
    if (a == 0.0 && b == 0.0) return 0.0;
    const double degrees = std::atan2(b, a) * 180.0 / pi;
    return degrees < 0.0 ? degrees + 360.0 : degrees;
}

double seventh_power_share(double chroma) {
    constexpr double twenty_five_7 = 6103515625.0;
    const double c7 = std::pow(chroma, 7.0);
    return std::sqrt(c7 / (c7 + twenty_five_7));
}

// Equations (10) and (14) branch on a difference of exactly 180 degrees, which rounding of the two
// angles may miss by a few units of the last place: pairs 9 to 16 of the paper's table test it.
constexpr double half_turn = 180.0 + 1e-9;

double hue_step(double h1, double h2, bool neutral) {
    if (neutral) return 0.0;
    const double step = h2 - h1;
    if (std::abs(step) <= half_turn) return step;
    return step > 0.0 ? step - 360.0 : step + 360.0;
}

double mean_hue(double h1, double h2, bool neutral) {
    const double sum = h1 + h2;
    if (neutral) return sum;
    if (std::abs(h1 - h2) <= half_turn) return sum / 2.0;
    return sum < 360.0 ? (sum + 360.0) / 2.0 : (sum - 360.0) / 2.0;
}

}  // namespace

double ciede2000(const Lab& x, const Lab& y) {
    // Symbols and equation numbers of the paper; x is color 1, y is color 2.
    const double mean_c = (std::hypot(x.a, x.b) + std::hypot(y.a, y.b)) / 2.0;  // (2), (3)
    const double g = 0.5 * (1.0 - seventh_power_share(mean_c));                 // (4)
    const double a1 = (1.0 + g) * x.a, a2 = (1.0 + g) * y.a;                    // (5)
    const double c1 = std::hypot(a1, x.b), c2 = std::hypot(a2, y.b);            // (6)
    const double h1 = hue(a1, x.b), h2 = hue(a2, y.b);                          // (7)
    const bool neutral = c1 * c2 == 0.0;

    const double dl = y.l - x.l;                                                     // (8)
    const double dc = c2 - c1;                                                       // (9)
    const double dh_angle = hue_step(h1, h2, neutral);                               // (10)
    const double dh = 2.0 * std::sqrt(c1 * c2) * std::sin(radians(dh_angle) / 2.0);  // (11)

    const double ml = (x.l + y.l) / 2.0;          // (12)
    const double mc = (c1 + c2) / 2.0;            // (13)
    const double mh = mean_hue(h1, h2, neutral);  // (14)
    const double t = 1.0 - 0.17 * std::cos(radians(mh - 30.0)) +
                     0.24 * std::cos(radians(2.0 * mh)) + 0.32 * std::cos(radians(3.0 * mh + 6.0)) -
                     0.20 * std::cos(radians(4.0 * mh - 63.0));  // (15)
    const double around = (mh - 275.0) / 25.0;
    const double theta = 30.0 * std::exp(-around * around);  // (16)
    const double rc = 2.0 * seventh_power_share(mc);         // (17)
    const double from_50 = (ml - 50.0) * (ml - 50.0);
    const double sl = 1.0 + 0.015 * from_50 / std::sqrt(20.0 + from_50);  // (18)
    const double sc = 1.0 + 0.045 * mc;                                   // (19)
    const double sh = 1.0 + 0.015 * mc * t;                               // (20)
    const double rt = -std::sin(radians(2.0 * theta)) * rc;               // (21)

    const double l = dl / sl, c = dc / sc, h = dh / sh;
    return std::sqrt(l * l + c * c + h * h + rt * c * h);  // (22)
}

double delta_e76(const Lab& a, const Lab& b) { return std::hypot(a.l - b.l, a.a - b.a, a.b - b.b); }

}  // namespace paleproof::color
