// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/tone.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <random>

#include "color/srgb.h"
#include "filters/gray.h"

using namespace paleproof;

namespace {

Image noise(int width, int height, Encoding encoding = Encoding::srgb) {
    std::mt19937 random(static_cast<unsigned>(width * 1000 + height));
    Image image(width, height, encoding, Ppi{300});
    for (std::uint8_t& v : image.bytes()) {
        v = encoding == Encoding::bilevel ? (random() % 2 == 0 ? 0 : 255)
                                          : static_cast<std::uint8_t>(random() >> 24U);
    }
    return image;
}

/// A map that is nothing like lightness: the mean of the channels, reds darker.
double odd_map(double r, double g, double b) {
    return 0.5 * (r + g + b) / 3.0 + 0.5 * std::min({r, g, b});
}

/// Tetrahedral interpolation by its definition, in doubles (Kasson, Nin, Plouffe and Hafner,
/// J. Electronic Imaging 4(3):226-250, 1995): from the near node along the channel with the
/// largest part first.
double plain_tone(const color::GrayTable& map, const std::uint8_t* rgb) {
    std::array<int, 3> node{}, order{0, 1, 2};
    std::array<double, 3> part{};
    for (std::size_t i = 0; i < 3; ++i) {
        node[i] = rgb[i] / 8;
        part[i] = rgb[i] % 8 / 8.0;
    }
    std::stable_sort(order.begin(), order.end(), [&](int x, int y) {
        return part[static_cast<std::size_t>(x)] > part[static_cast<std::size_t>(y)];
    });
    double value = map.node(node[0], node[1], node[2]);
    for (const int channel : order) {
        const auto c = static_cast<std::size_t>(channel);
        const double from = map.node(node[0], node[1], node[2]);
        ++node[c];
        value += part[c] * (map.node(node[0], node[1], node[2]) - from);
    }
    return value;
}

}  // namespace

TEST_CASE("tone is the map's gray of each pixel, by a slow plain version over odd sizes") {
    const color::GrayTable map(odd_map);
    for (const int width : {1, 2, 15, 31, 32, 33}) {
        for (const int height : {1, 3, 32}) {
            CAPTURE(width);
            CAPTURE(height);
            const Image card = noise(width, height);
            const Image toned = filters::tone(card, map);
            REQUIRE(toned.size() == card.size());
            CHECK(toned.encoding() == Encoding::gray);
            CHECK(toned.ppi().value == 300.0);
            for (int y = 0; y < height; ++y) {
                for (int x = 0; x < width; ++x) {
                    const double expected = plain_tone(map, card.row(y) + 3 * x);
                    CHECK(std::abs(toned.row(y)[x] - expected) <= 0.52);
                }
            }
        }
    }
}

TEST_CASE("tone with the map of lightness is gray to within a code") {
    const Image card = noise(97, 61);
    const Image plain = filters::gray(card), toned = filters::tone(card, color::GrayTable());
    int worst = 0;
    for (std::size_t i = 0; i < plain.bytes().size(); ++i) {
        worst = std::max(worst, std::abs(plain.bytes()[i] - toned.bytes()[i]));
    }
    CHECK(worst <= 2);
}

TEST_CASE("tone leaves gray and bilevel cards as they are") {
    for (const Encoding encoding : {Encoding::gray, Encoding::bilevel}) {
        const Image card = noise(33, 15, encoding);
        const Image toned = filters::tone(card, color::GrayTable(odd_map));
        CHECK(toned.encoding() == Encoding::gray);
        CHECK(std::equal(card.bytes().begin(), card.bytes().end(), toned.bytes().begin(),
                         toned.bytes().end()));
    }
}

TEST_CASE("tone gives one color one gray, next to any other") {
    const color::GrayTable map(odd_map);
    Image card = noise(40, 40);
    for (int x = 0; x < 40; x += 3) {
        std::uint8_t* p = card.row(x) + 3 * x;
        p[0] = 220, p[1] = 93, p[2] = 94;
    }
    const Image toned = filters::tone(card, map);
    for (int x = 0; x < 40; x += 3) CHECK(toned.row(x)[x] == map(220, 93, 94));
}
