// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/xdog.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace paleproof::filters {
namespace {

constexpr double cut_at = 4.0;  // standard deviations

cv::Mat blurred(const cv::Mat& picture, double sigma) {
    const int size = 2 * static_cast<int>(std::ceil(cut_at * sigma)) + 1;
    cv::Mat result;
    cv::GaussianBlur(picture, result, {size, size}, sigma, sigma, cv::BORDER_REPLICATE);
    return result;
}

cv::Mat view(const Plane& plane) {
    return {plane.height, plane.width, CV_32FC1, const_cast<float*>(plane.values.data())};
}

}  // namespace

Plane difference_of_gaussians(const Plane& picture, double sigma, double k) {
    Plane result(picture.width, picture.height);
    cv::Mat out = view(result);
    cv::subtract(blurred(view(picture), sigma), blurred(view(picture), k * sigma), out);
    return result;
}

Image xdog(const Image& gray, const XDoG& p) {
    check_fields(p, xdog_fields);
    if (gray.encoding() == Encoding::srgb) {
        throw Error(ErrorKind::format, "xdog", "expected a gray picture, got sRGB");
    }
    Plane light(gray.width(), gray.height());
    std::ranges::transform(gray.bytes(), light.values.begin(),
                           [](std::uint8_t code) { return static_cast<float>(code) / 255.0F; });
    const cv::Mat narrow = blurred(view(light), p.sigma);
    const cv::Mat wide = blurred(view(light), p.k * p.sigma);
    Image result(gray.width(), gray.height(), Encoding::gray, gray.ppi());
    for (int y = 0; y < gray.height(); ++y) {
        const auto* n = narrow.ptr<float>(y);
        const auto* w = wide.ptr<float>(y);
        std::uint8_t* out = result.row(y);
        for (int x = 0; x < gray.width(); ++x) {
            const double s =
                (1.0 + p.p) * static_cast<double>(n[x]) - p.p * static_cast<double>(w[x]);
            const double t = s >= p.epsilon ? 1.0 : 1.0 + std::tanh(p.phi * (s - p.epsilon));
            out[x] = static_cast<std::uint8_t>(std::lround(255.0 * std::clamp(t, 0.0, 1.0)));
        }
    }
    return result;
}

}  // namespace paleproof::filters
