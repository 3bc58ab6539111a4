// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/corners.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "support/pictures.h"

using namespace paleproof;
using survey::round_corners;

namespace {

/// Share of a pixel outside a card with round corners, by 8 x 8 samples.
double outside(int x, int y, SizePx size, double radius) {
    int count = 0;
    for (int j = 0; j < 8; ++j) {
        for (int i = 0; i < 8; ++i) {
            const double px = x + (i + 0.5) / 8.0;
            const double py = y + (j + 0.5) / 8.0;
            const double dx = std::max({radius - px, px - (size.width - radius), 0.0});
            const double dy = std::max({radius - py, py - (size.height - radius), 0.0});
            count += dx * dx + dy * dy > radius * radius && dx > 0.0 && dy > 0.0 ? 1 : 0;
        }
    }
    return count / 64.0;
}

struct Cut {
    Image image;
    Image mask;
};

Cut rounded(double radius, int ground, SizePx size = {750, 1050}) {
    Cut cut{test::soft_card(size.width, size.height, Encoding::srgb),
            Image(size.width, size.height, Encoding::gray, Ppi{300})};
    for (int y = 0; y < size.height; ++y) {
        for (int x = 0; x < size.width; ++x) {
            const double out = outside(x, y, size, radius);
            for (int c = 0; c < 3; ++c) {
                std::uint8_t& code = cut.image.row(y)[3 * x + c];
                code = static_cast<std::uint8_t>(std::lround(code + out * (ground - code)));
            }
            cut.mask.row(y)[x] = static_cast<std::uint8_t>(std::lround(255.0 * (1.0 - out)));
        }
    }
    return cut;
}

}  // namespace

TEST_CASE("the radius of round corners is right within 0.3 mm: transparent, white, black") {
    // Truth: the drawn circle. 0.3 mm is the tolerance of ISO/IEC 7810 for ID-1 corners (from
    // memory); 35.4 px = 3 mm, 41.3 px = 3.5 mm, 37.5 px = 1/8 in at 300 ppi.
    const double tolerance = 0.3 / 25.4 * 300.0;
    for (const double radius : {12.0, 35.4, 37.5, 41.3, 70.0}) {
        for (const int ground : {255, 0}) {
            CAPTURE(radius);
            CAPTURE(ground);
            const Cut cut = rounded(radius, ground);
            for (const bool masked : {true, false}) {
                CAPTURE(masked);
                const auto mask = masked ? std::optional(cut.mask) : std::nullopt;
                const auto found = round_corners(cut.image, mask, cut.image.bounds(), Ppi{300});
                for (const survey::RoundCorner& corner : found) {
                    CHECK(std::abs(corner.radius_px - radius) <= tolerance);
                }
            }
        }
    }
}

TEST_CASE("square corners, white cards and cards of nothing have no radius") {
    const auto none = [](const Image& image, const std::optional<Image>& mask) {
        const auto found = round_corners(image, mask, image.bounds(), Ppi{300});
        return std::ranges::all_of(found, [](const auto& c) { return c.radius_px == 0.0; });
    };
    CHECK(none(test::soft_card(750, 1050, Encoding::srgb), std::nullopt));
    CHECK(none(test::flat(750, 1050, 255), std::nullopt));
    CHECK(none(test::noise(750, 1050, Encoding::srgb, 3), std::nullopt));
    CHECK(none(test::flat(750, 1050, 255), test::flat(750, 1050, 0)));  // all transparent
    CHECK(none(test::flat(1, 1, 0), std::nullopt));
    CHECK(none(test::flat(5, 7, 0), test::flat(5, 7, 0)));
}

TEST_CASE("a white triangle in the corner is not a round corner") {
    Image image = test::soft_card(750, 1050, Encoding::srgb);
    for (int y = 0; y < 40; ++y) {
        for (int x = 0; x < 40 - y; ++x) {
            for (int c = 0; c < 3; ++c) image.row(y)[3 * x + c] = 255;
        }
    }
    CHECK(round_corners(image, std::nullopt, image.bounds(), Ppi{300})[0].radius_px == 0.0);
}
