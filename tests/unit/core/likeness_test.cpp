// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The measures that the bleed benchmark reports, against values computed with scikit-image 0.19.3
// (structural_similarity with gaussian_weights, sigma 1.5, population covariance, data_range 255;
// peak_signal_noise_ratio) and against the closed form for flat pictures.
#include "support/likeness.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "support/pictures.h"

using namespace paleproof;

namespace {

double psnr(const Image& a, const Image& b) {
    return test::psnr_of_error(test::mean_square_error(a.bytes(), b.bytes()));
}

}  // namespace

TEST_CASE("PSNR of a constant error is 20 log10(255 / error)") {
    const Image ground = test::flat(20, 20, 100);
    CHECK(psnr(ground, test::flat(20, 20, 101)) == doctest::Approx(48.1308).epsilon(1e-6));
    CHECK(psnr(ground, test::flat(20, 20, 105)) == doctest::Approx(34.1514).epsilon(1e-6));
    CHECK(psnr(ground, test::flat(20, 20, 116)) == doctest::Approx(24.0484).epsilon(1e-6));
}

TEST_CASE("SSIM of flat pictures is (2ab + C1) / (a^2 + b^2 + C1)") {
    CHECK(test::ssim(test::flat(16, 16, 100), test::flat(16, 16, 110)) ==
          doctest::Approx(0.995476).epsilon(1e-6));
    CHECK(test::ssim(test::flat(16, 16, 50), test::flat(16, 16, 60)) ==
          doctest::Approx(0.983624).epsilon(1e-6));
    CHECK(test::ssim(test::flat(16, 16, 0), test::flat(16, 16, 255)) ==
          doctest::Approx(0.0001).epsilon(0.01));
}

TEST_CASE("one window of 4 x 4 by hand: PSNR 41.1411 dB, SSIM 0.986348") {
    const std::array<double, 16> a{52, 55, 61, 66, 70, 61, 64, 73, 63, 59, 55, 90, 67, 61, 68, 104};
    std::array<double, 16> b = a;
    b[0] += 8;
    b[15] -= 4;
    std::array<double, 16> weights{};
    weights.fill(1.0 / 16.0);
    CHECK(test::ssim_of_window(a, b, weights) == doctest::Approx(0.986348).epsilon(1e-6));
    CHECK(test::psnr_of_error(5.0) == doctest::Approx(41.1411).epsilon(1e-6));
}

TEST_CASE("PSNR and SSIM of drawn pairs are scikit-image's to 1e-4") {
    const Image card = test::soft_card(64, 48, Encoding::gray);
    Image noisy = card;
    test::Dice dice(5);
    for (std::uint8_t& byte : noisy.bytes()) {
        const int shift = static_cast<int>((dice.next() >> 24) % 21) - 10;
        byte = static_cast<std::uint8_t>(std::clamp(byte + shift, 0, 255));
    }
    Image mirrored = card;
    for (int y = 0; y < 48; ++y) std::reverse(mirrored.row(y), mirrored.row(y) + 64);
    const Image noise = test::noise(64, 48, Encoding::gray, 3);
    CHECK(psnr(card, noisy) == doctest::Approx(32.451347).epsilon(1e-6));
    CHECK(psnr(card, mirrored) == doctest::Approx(23.895039).epsilon(1e-6));
    CHECK(psnr(card, noise) == doctest::Approx(8.711560).epsilon(1e-6));
    CHECK(std::abs(test::ssim(card, noisy) - 0.822347) < 1e-4);
    CHECK(std::abs(test::ssim(card, mirrored) - 0.849590) < 1e-4);
    CHECK(std::abs(test::ssim(card, noise) - 0.017285) < 1e-4);
}
