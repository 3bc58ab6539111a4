// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/xdog.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::difference_of_gaussians;
using filters::Plane;
using filters::XDoG;
using filters::xdog;

namespace {

/// Gaussian of a whole picture by the two-dimensional sum, nothing separated, in double precision;
/// weights cut at 4 standard deviations and normalised, outermost pixels repeated.
double plain_gauss(const Plane& picture, int x, int y, double sigma) {
    const int reach = static_cast<int>(std::ceil(4.0 * sigma));
    double sum = 0.0;
    double weights = 0.0;
    for (int dy = -reach; dy <= reach; ++dy) {
        for (int dx = -reach; dx <= reach; ++dx) {
            const double w = std::exp(-0.5 * (dx * dx + dy * dy) / (sigma * sigma));
            const int px = std::clamp(x + dx, 0, picture.width - 1);
            const int py = std::clamp(y + dy, 0, picture.height - 1);
            sum += w * static_cast<double>(picture.row(py)[px]);
            weights += w;
        }
    }
    return sum / weights;
}

/// Winnemoeller, Kyprianidis, Olsen 2012, the sharpening form:
/// S = (1 + p) G_sigma * I - p G_(k sigma) * I; T = 1 if S >= epsilon, else 1 + tanh(phi (S -
/// epsilon)).
double plain_xdog(const Plane& picture, int x, int y, const XDoG& p) {
    const double s = (1.0 + p.p) * plain_gauss(picture, x, y, p.sigma) -
                     p.p * plain_gauss(picture, x, y, p.k * p.sigma);
    return s >= p.epsilon ? 1.0 : 1.0 + std::tanh(p.phi * (s - p.epsilon));
}

Plane shares(const Image& gray) {
    Plane plane(gray.width(), gray.height());
    std::ranges::transform(gray.bytes(), plane.values.begin(),
                           [](std::uint8_t code) { return static_cast<float>(code) / 255.0F; });
    return plane;
}

}  // namespace

TEST_CASE("every pixel is that of the published formula in double precision") {
    for (const auto& [a_width, height] :
         {std::array{1, 1}, std::array{2, 15}, std::array{33, 31}}) {
        const auto& width = a_width;  // clang 14 captures no bindings
        CAPTURE(width);
        const Image card = test::noise(width, height, Encoding::gray, 3);
        const Plane light = shares(card);
        for (const XDoG& p : {XDoG{}, XDoG{.sigma = 0.8, .p = 2.0, .epsilon = 0.5, .phi = 4.0}}) {
            const Image result = xdog(card, p);
            for (int y = 0; y < height; ++y) {
                for (int x = 0; x < width; ++x) {
                    const double expected =
                        255.0 * std::clamp(plain_xdog(light, x, y, p), 0.0, 1.0);
                    // Single precision inside: half a code of rounding and a little more.
                    CHECK(std::abs(result.row(y)[x] - expected) < 0.52);
                }
            }
        }
    }
}

TEST_CASE("the difference across a step is the worked example") {
    // I = 0.2 up to column 20, 0.8 after; sigma 1, k 1.6, kernels cut at 6 sigma there and at 4
    // here: worked by hand in double precision, columns 16 to 25, to six decimals.
    constexpr std::array worked{-0.001276, -0.007769, -0.030904, -0.067003, -0.044881,
                                0.044881,  0.067003,  0.030904,  0.007769,  0.001276};
    Plane step(42, 5);
    for (int y = 0; y < 5; ++y) {
        for (int x = 0; x < 42; ++x) step.row(y)[x] = x <= 20 ? 0.2F : 0.8F;
    }
    const Plane d = difference_of_gaussians(step, 1.0, 1.6);
    for (std::size_t i = 0; i < worked.size(); ++i) {
        CAPTURE(i);
        // What lies between 4 and 6 sigma weighs less than 6.4e-5.
        CHECK(std::abs(static_cast<double>(d.row(2)[16 + static_cast<int>(i)]) - worked[i]) < 1e-4);
    }
}

TEST_CASE("a constant added to the picture changes no difference") {
    const Plane picture = shares(test::noise(20, 12, Encoding::gray, 9));
    Plane lighter = picture;
    for (float& v : lighter.values) v += 0.25F;
    const Plane a = difference_of_gaussians(picture, 1.0, 1.6);
    const Plane b = difference_of_gaussians(lighter, 1.0, 1.6);
    for (std::size_t i = 0; i < a.values.size(); ++i) {
        CHECK(std::abs(a.values[i] - b.values[i]) < 1e-6F);
    }
}

TEST_CASE("xdog leaves flat paper white and refuses color") {
    const Image paper = test::flat(12, 9, 255);
    CHECK(xdog(paper) == paper);
    CHECK_THROWS_AS((void)xdog(Image(4, 4, Encoding::srgb)), Error);
    CHECK_THROWS_WITH_AS((void)xdog(paper, {.sigma = 0.0}), doctest::Contains("sigma"), Error);
}
