// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <span>

#include "core/image.h"

namespace paleproof::test {

/// 10 log10(255^2 / mean squared error), in dB; the error counts as at least 0.01.
inline double psnr_of_error(double mean_square) {
    return 10.0 * std::log10(255.0 * 255.0 / std::max(mean_square, 0.01));
}

inline double mean_square_error(std::span<const std::uint8_t> a, std::span<const std::uint8_t> b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        const double difference = static_cast<double>(a[i]) - b[i];
        sum += difference * difference;
    }
    return sum / static_cast<double>(a.size());
}

/// Structural similarity of one window whose weights sum to 1 (Wang, Bovik, Sheikh and Simoncelli,
/// 2004): K1 = 0.01, K2 = 0.03, L = 255, population variances.
inline double ssim_of_window(std::span<const double> a, std::span<const double> b,
                             std::span<const double> weights) {
    constexpr double c1 = 6.5025;
    constexpr double c2 = 58.5225;
    double mean_a = 0.0;
    double mean_b = 0.0;
    double square_a = 0.0;
    double square_b = 0.0;
    double product = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        mean_a += weights[i] * a[i];
        mean_b += weights[i] * b[i];
        square_a += weights[i] * a[i] * a[i];
        square_b += weights[i] * b[i] * b[i];
        product += weights[i] * a[i] * b[i];
    }
    const double var_a = square_a - mean_a * mean_a;
    const double var_b = square_b - mean_b * mean_b;
    const double cov = product - mean_a * mean_b;
    return (2.0 * mean_a * mean_b + c1) * (2.0 * cov + c2) /
           ((mean_a * mean_a + mean_b * mean_b + c1) * (var_a + var_b + c2));
}

/// Mean structural similarity of two gray pictures over all whole windows of 11 x 11, Gaussian of
/// 1.5 px. Both at least 11 x 11.
inline double ssim(const Image& a, const Image& b) {
    constexpr int size = 11;
    std::array<double, size * size> weights{};
    double sum = 0.0;
    for (int y = 0; y < size; ++y) {
        for (int x = 0; x < size; ++x) {
            const double square = (x - 5) * (x - 5) + (y - 5) * (y - 5);
            sum += weights[static_cast<std::size_t>(y * size + x)] =
                std::exp(-square / (2.0 * 1.5 * 1.5));
        }
    }
    for (double& weight : weights) weight /= sum;
    std::array<double, size * size> in_a{};
    std::array<double, size * size> in_b{};
    double total = 0.0;
    long count = 0;
    for (int y = 0; y + size <= a.height(); ++y) {
        for (int x = 0; x + size <= a.width(); ++x) {
            for (int j = 0; j < size; ++j) {
                for (int i = 0; i < size; ++i) {
                    in_a[static_cast<std::size_t>(j * size + i)] = a.row(y + j)[x + i];
                    in_b[static_cast<std::size_t>(j * size + i)] = b.row(y + j)[x + i];
                }
            }
            total += ssim_of_window(in_a, in_b, weights);
            ++count;
        }
    }
    return total / static_cast<double>(count);
}

}  // namespace paleproof::test
