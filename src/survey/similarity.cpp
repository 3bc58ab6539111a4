// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/similarity.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "core/error.h"
#include "survey/means.h"

namespace paleproof::survey {
namespace {

constexpr int window = 11;
constexpr double sigma = 1.5;
constexpr double c1 = (0.01 * 255.0) * (0.01 * 255.0);
constexpr double c2 = (0.03 * 255.0) * (0.03 * 255.0);
constexpr double edge_ppi = 100.0;

cv::Mat view(const Image& image) {
    // OpenCV has no view of constant pixels; nothing writes through this one.
    return {image.height(), image.width(), CV_8UC1,
            const_cast<std::uint8_t*>(image.bytes().data())};
}

cv::Mat local_mean(const cv::Mat& values) {
    cv::Mat result;
    cv::GaussianBlur(values, result, {window, window}, sigma, sigma, cv::BORDER_REFLECT);
    return result;
}

double similarity(const cv::Mat& a8, const cv::Mat& b8) {
    if (a8.rows < window || a8.cols < window) return cv::norm(a8, b8, cv::NORM_INF) == 0.0 ? 1 : 0;
    // Single numbers are exact enough when they lie around 0: variances do not change by it.
    constexpr double middle = 128.0;
    cv::Mat a;
    cv::Mat b;
    a8.convertTo(a, CV_32F, 1.0, -middle);
    b8.convertTo(b, CV_32F, 1.0, -middle);
    const cv::Mat mean_a = local_mean(a);
    const cv::Mat mean_b = local_mean(b);
    const cv::Mat squares = local_mean(a.mul(a) + b.mul(b));
    const cv::Mat products = local_mean(a.mul(b));
    // SSIM = (2 mu_x mu_y + C1)(2 sigma_xy + C2) / ((mu_x^2 + mu_y^2 + C1)(sigma_x^2 + sigma_y^2 +
    // C2))
    double sum = 0.0;
    int count = 0;
    const int rim = window / 2;
    for (int y = rim; y < a.rows - rim; ++y) {
        const auto* row_a = mean_a.ptr<float>(y);
        const auto* row_b = mean_b.ptr<float>(y);
        const auto* square = squares.ptr<float>(y);
        const auto* product = products.ptr<float>(y);
        for (int x = rim; x < a.cols - rim; ++x) {
            const double da = row_a[x];
            const double db = row_b[x];
            const double ma = da + middle;
            const double mb = db + middle;
            const double variances = square[x] - da * da - db * db;
            const double covariance = product[x] - da * db;
            sum += (2.0 * ma * mb + c1) * (2.0 * covariance + c2) /
                   ((ma * ma + mb * mb + c1) * (variances + c2));
            ++count;
        }
    }
    return sum / count;
}

/// The means of squares of `side` pixels.
cv::Mat means_of_squares(const Image& image, int side) {
    cv::Mat result(image.height() / side, image.width() / side, CV_8UC1);
    std::vector<std::uint16_t> sums(static_cast<std::size_t>(image.width()));
    const Mean mean(static_cast<std::uint32_t>(side * side));
    for (int y = 0; y < result.rows; ++y) {
        std::ranges::fill(sums, std::uint16_t{0});
        for (int k = 0; k < side; ++k) {
            add_row(image.row(y * side + k), sums);
        }
        auto* out = result.ptr<std::uint8_t>(y);
        const std::uint16_t* in = sums.data();
        for (int x = 0; x < result.cols; ++x, in += side) {
            std::uint32_t sum = 0;
            for (int k = 0; k < side; ++k) sum += in[k];
            out[x] = mean(sum);
        }
    }
    return result;
}

cv::Mat reduced(const Image& image, Ppi known) {
    const double ppi = known.value > 0.0 ? known.value : 300.0;
    const double scale = std::min(1.0, edge_ppi / ppi);
    const int side = static_cast<int>(std::lround(std::min(255.0, 1.0 / scale)));
    if (side * scale == 1.0 && image.width() % side == 0 && image.height() % side == 0) {
        return means_of_squares(image, side);
    }
    cv::Mat small;
    cv::resize(view(image), small,
               {std::max(1, static_cast<int>(std::lround(image.width() * scale))),
                std::max(1, static_cast<int>(std::lround(image.height() * scale)))},
               0, 0, cv::INTER_AREA);
    return small;
}

cv::Mat edges(const Image& image, Ppi ppi) {
    const cv::Mat small = reduced(image, ppi);
    cv::Mat dx;
    cv::Mat dy;
    cv::Sobel(small, dx, CV_32F, 1, 0, 3, 1, 0, cv::BORDER_REPLICATE);
    cv::Sobel(small, dy, CV_32F, 0, 1, 3, 1, 0, cv::BORDER_REPLICATE);
    cv::Mat size;
    cv::magnitude(dx, dy, size);
    // The 98th percentile from whole numbers, up to 4 * 255 * sqrt(2) of the Sobel kernel.
    std::array<int, 1444> count{};
    for (int y = 0; y < size.rows; ++y) {
        for (int x = 0; x < size.cols; ++x) {
            ++count[static_cast<std::size_t>(std::min(1443.0F, size.at<float>(y, x)))];
        }
    }
    int left = static_cast<int>(0.02 * size.rows * size.cols);
    int top = 1443;
    while (top > 1 && left >= count[static_cast<std::size_t>(top)]) {
        left -= count[static_cast<std::size_t>(top--)];
    }
    cv::Mat result;
    size.convertTo(result, CV_8U, 255.0 / (top + 1));
    return result;
}

void require_alike(const Image& a, const Image& b) {
    if (a.channels() != 1 || b.channels() != 1 || a.size() != b.size()) {
        throw Error(ErrorKind::format, "similarity", "expected two gray pictures of one size");
    }
}

}  // namespace

double structural_similarity(const Image& a, const Image& b) {
    require_alike(a, b);
    return similarity(view(a), view(b));
}

double edge_similarity(const Image& source, const Image& proof) {
    require_alike(source, proof);
    // A proof that was drawn at a size of its own has nearly the face's resolution: one for both.
    return similarity(edges(source, source.ppi()), edges(proof, source.ppi()));
}

}  // namespace paleproof::survey
