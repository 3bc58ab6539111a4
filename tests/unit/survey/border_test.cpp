// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/border.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "support/pictures.h"

using namespace paleproof;
using survey::borders;

namespace {

struct Drawn {
    Edges<int> width{36, 36, 36, 36};
    int noise = 0;      ///< codes either way
    int drift = 0;      ///< codes from left to right
    int frame_at = -1;  ///< px from the trim, -1 = none
    int frame_width = 2;
};

constexpr std::array<int, 3> paint{200, 120, 60};

/// Noisy art in a border of one color; the truth is the struct.
Image drawn(const Drawn& d, Encoding encoding = Encoding::srgb, SizePx size = {750, 1050}) {
    Image image = test::noise(size.width, size.height, encoding, 9);
    test::Dice dice(4);
    for (int y = 0; y < size.height; ++y) {
        for (int x = 0; x < size.width; ++x) {
            const int out = std::min({x, y, size.width - 1 - x, size.height - 1 - y});
            const bool border = x < d.width.left || y < d.width.top ||
                                x >= size.width - d.width.right ||
                                y >= size.height - d.width.bottom;
            const bool frame =
                d.frame_at >= 0 && out >= d.frame_at && out < d.frame_at + d.frame_width;
            if (!border && !frame) continue;
            for (int c = 0; c < image.channels(); ++c) {
                int code = paint[static_cast<std::size_t>(c)] + d.drift * x / size.width;
                if (d.noise > 0) code += dice.between(-d.noise, d.noise);
                if (frame) code = 15;
                image.row(y)[x * image.channels() + c] =
                    static_cast<std::uint8_t>(std::clamp(code, 0, 255));
            }
        }
    }
    return image;
}

/// A blur of 3 x 3, as resampling and JPEG leave it.
Image softened(const Image& image) {
    Image result = image;
    for (int y = 1; y + 1 < image.height(); ++y) {
        for (int x = 1; x + 1 < image.width(); ++x) {
            for (int c = 0; c < image.channels(); ++c) {
                int sum = 0;
                for (int j = -1; j <= 1; ++j) {
                    for (int i = -1; i <= 1; ++i)
                        sum += image.row(y + j)[(x + i) * image.channels() + c];
                }
                result.row(y)[x * image.channels() + c] = static_cast<std::uint8_t>(sum / 9);
            }
        }
    }
    return result;
}

Edges<survey::Border> measured(const Image& image) {
    return borders(image, image.bounds(), Ppi{300});
}

}  // namespace

TEST_CASE("border widths are right within a pixel: plain, noisy, drifting, softened, gray") {
    // Truth: the drawn widths.
    const Edges<int> widths{12, 36, 71, 50};
    for (const int noise : {0, 3, 9}) {
        for (const int drift : {0, 30}) {
            for (const bool soft : {false, true}) {
                for (const Encoding encoding : {Encoding::srgb, Encoding::gray}) {
                    CAPTURE(noise);
                    CAPTURE(drift);
                    CAPTURE(soft);
                    Image image =
                        drawn({.width = widths, .noise = noise, .drift = drift}, encoding);
                    if (soft) image = softened(image);
                    const auto found = measured(image);
                    CHECK(std::abs(found.top.width_px - 12) <= 1.0);
                    CHECK(std::abs(found.right.width_px - 36) <= 1.0);
                    CHECK(std::abs(found.bottom.width_px - 71) <= 1.0);
                    CHECK(std::abs(found.left.width_px - 50) <= 1.0);
                    CHECK_FALSE(found.left.open);
                }
            }
        }
    }
}

TEST_CASE("the color of a border is exact, in spite of its noise") {
    const auto found = measured(drawn({.noise = 6}));
    for (std::size_t c = 0; c < 3; ++c) CHECK(std::abs(found.top.color[c] - paint[c]) <= 1);
    const auto clean = measured(drawn({}));
    for (std::size_t c = 0; c < 3; ++c) CHECK(clean.left.color[c] == paint[c]);
}

TEST_CASE("art up to the edge has no border, a plain card has an open one") {
    const Image art = test::noise(300, 420, Encoding::srgb, 2);
    CHECK(measured(art).top.width_px == 0.0);
    CHECK(measured(art).left.width_px == 0.0);
    const auto plain = measured(test::flat(300, 420, 90));
    CHECK(plain.bottom.open);
    CHECK(plain.bottom.color[0] == 90);
}

TEST_CASE("a pennant across a tenth of the edge does not end the border") {
    Image image = drawn({});
    for (int y = 0; y < 60; ++y) {
        for (int x = 350; x < 390; ++x) image.row(y)[3 * x] = 10;
    }
    CHECK(std::abs(measured(image).top.width_px - 36) <= 1.0);
}

TEST_CASE("a hairline frame is found with its distance and width; the border's end is none") {
    for (const int at : {6, 15, 24}) {
        for (const int width : {1, 2, 4}) {
            CAPTURE(at);
            CAPTURE(width);
            const auto found = measured(drawn({.frame_at = at, .frame_width = width}));
            for (const auto& border : {found.top, found.right, found.bottom, found.left}) {
                REQUIRE(border.frame);
                CHECK(std::abs(border.frame->distance_px - at) <= 1.0);
                CHECK(std::abs(border.frame->width_px - width) <= 1.0);
            }
        }
    }
    CHECK_FALSE(measured(drawn({})).left.frame);
    CHECK_FALSE(measured(test::noise(300, 420, Encoding::srgb, 2)).top.frame);
}

TEST_CASE("pictures of a few pixels have borders of nothing worse than zero") {
    for (const auto& [w, h] : {std::pair{1, 1}, {2, 9}, {9, 2}, {13, 13}}) {
        const auto found = measured(test::noise(w, h, Encoding::gray, 5));
        CHECK(found.top.width_px >= 0.0);
        CHECK_FALSE(found.right.frame);
    }
}
