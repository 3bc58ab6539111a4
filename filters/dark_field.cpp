// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/dark_field.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace paleproof::filters {
namespace {

/// Added to every code before ratios are taken: what differs by less cannot be seen in the dark,
/// and there JPEG and grain live.
constexpr double lift = 32.0;

/// Ratios, 1 - pixel / mean around it, from which on a difference is drawn: at `none` nothing, from
/// `whole` on all of it, between them a smooth step.
struct Threshold {
    double none, whole;
};
constexpr Threshold stroke_from{0.02, 0.12};
constexpr Threshold form_from{0.01, 0.06};
constexpr Threshold cast_from{0.05, 0.20};
constexpr int least_ink = 3;  // a film of fewer codes is dirt on the paper

constexpr int ratio_steps = 1024;

/// Ink 0..255 for each ratio 0..1 in 1024 steps.
std::vector<float> inks(Threshold from, double strength) {
    std::vector<float> table(ratio_steps);
    for (int i = 0; i < ratio_steps; ++i) {
        const double ratio = static_cast<double>(i) / ratio_steps;
        const double t = std::clamp((ratio - from.none) / (from.whole - from.none), 0.0, 1.0);
        table[static_cast<std::size_t>(i)] =
            static_cast<float>(255.0 * strength * ratio * t * t * (3.0 - 2.0 * t));
    }
    return table;
}

/// Gaussian mean with `sigma` in pixels, computed on a smaller picture where it is wide.
cv::Mat mean_around(const cv::Mat& card, double sigma) {
    const double shrink = std::max(1.0, std::floor(sigma / 3.0));
    cv::Mat mean;
    if (shrink < 2.0) {
        cv::GaussianBlur(card, mean, {}, sigma, sigma, cv::BORDER_REPLICATE);
        return mean;
    }
    const cv::Size small(std::max(1, static_cast<int>(std::lround(card.cols / shrink))),
                         std::max(1, static_cast<int>(std::lround(card.rows / shrink))));
    cv::resize(card, mean, small, 0, 0, cv::INTER_AREA);
    cv::GaussianBlur(mean, mean, {}, sigma / shrink, sigma / shrink, cv::BORDER_REPLICATE);
    cv::resize(mean, mean, card.size(), 0, 0, cv::INTER_LINEAR);
    return mean;
}

int step_of(float value, float mean) {
    const float ratio = 1.0F - value / mean;
    return ratio <= 0.0F ? 0 : std::min(static_cast<int>(ratio * ratio_steps), ratio_steps - 1);
}

}  // namespace

FieldInk dark_field(const Image& card, const DarkField& p) {
    check_fields(p, dark_field_fields);
    if (card.encoding() == Encoding::srgb) {
        throw Error(ErrorKind::format, "dark_field", "expected a gray picture, got color");
    }
    const Ppi ppi = card.ppi().value > 0.0 ? card.ppi() : Ppi{300.0};
    // OpenCV has no view of constant pixels; nothing writes through this one.
    const cv::Mat codes(card.height(), card.width(), CV_8UC1,
                        const_cast<std::uint8_t*>(card.bytes().data()));
    cv::Mat sharp;
    codes.convertTo(sharp, CV_32F, 1.0, lift);
    cv::Mat calm;  // grain and single pixels are not modelled
    cv::medianBlur(codes, calm, 5);
    calm.convertTo(calm, CV_32F, 1.0, lift);
    const cv::Mat near = mean_around(sharp, std::max(0.5, pixels(Mm{p.stroke_mm}, ppi)));
    const cv::Mat form = mean_around(calm, std::max(0.8, pixels(Mm{p.form_mm}, ppi)));
    const cv::Mat wide = mean_around(calm, std::max(1.0, pixels(Mm{p.cast_mm}, ppi)));
    const auto stroke_ink = inks(stroke_from, 1.0);
    const auto form_ink = inks(form_from, p.form);
    const auto cast_ink = inks(cast_from, p.cast);

    FieldInk result{Image(card.width(), card.height(), Encoding::gray, card.ppi()),
                    Image(card.width(), card.height(), Encoding::gray, card.ppi())};
    for (int y = 0; y < card.height(); ++y) {
        const std::uint8_t* code = card.row(y);
        const auto* sharp_row = sharp.ptr<float>(y);
        const auto* calm_row = calm.ptr<float>(y);
        const auto* near_row = near.ptr<float>(y);
        const auto* form_row = form.ptr<float>(y);
        const auto* wide_row = wide.ptr<float>(y);
        std::uint8_t* strokes = result.strokes.row(y);
        std::uint8_t* shades = result.shades.row(y);
        for (int x = 0; x < card.width(); ++x) {
            const auto line = static_cast<std::size_t>(step_of(sharp_row[x], near_row[x]));
            const auto model = static_cast<std::size_t>(step_of(calm_row[x], form_row[x]));
            const auto cast = static_cast<std::size_t>(step_of(calm_row[x], wide_row[x]));
            const int most = 255 - code[x];
            const int stroke =
                std::min(static_cast<int>(stroke_ink[line] + form_ink[model] + 0.5F), most);
            const int shade =
                std::min(static_cast<int>(form_ink[model] + cast_ink[cast] + 0.5F), most - stroke);
            strokes[x] = static_cast<std::uint8_t>(stroke < least_ink ? 0 : stroke);
            shades[x] = static_cast<std::uint8_t>(shade < least_ink ? 0 : shade);
        }
    }
    return result;
}

}  // namespace paleproof::filters
