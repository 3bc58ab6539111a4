// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/dark_field.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "core/wide.h"

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
constexpr int part_bits = 6;
constexpr int parts = 1 << part_bits;  // of a code, in which inks are added up

/// Ink 0..255 in 64ths for each ratio 0..1 in 1024 steps.
std::vector<std::int16_t> inks(Threshold from, double strength) {
    std::vector<std::int16_t> table(ratio_steps);
    for (int i = 0; i < ratio_steps; ++i) {
        const double ratio = static_cast<double>(i) / ratio_steps;
        const double t = std::clamp((ratio - from.none) / (from.whole - from.none), 0.0, 1.0);
        table[static_cast<std::size_t>(i)] = static_cast<std::int16_t>(
            std::lround(parts * 255.0 * strength * ratio * t * t * (3.0 - 2.0 * t)));
    }
    return table;
}

cv::Mat reduced(const cv::Mat& card, cv::Size size, double shrink) {
    const cv::Size small(std::max(1, static_cast<int>(std::lround(size.width / shrink))),
                         std::max(1, static_cast<int>(std::lround(size.height / shrink))));
    cv::Mat result;
    cv::resize(card, result, small, 0, 0, cv::INTER_AREA);
    return result;
}

/// Three sigma to each side; what lies farther off has a 400th of the weight.
void blur(const cv::Mat& from, cv::Mat& to, double sigma) {
    const int side = 2 * static_cast<int>(std::ceil(3.0 * sigma)) + 1;
    cv::GaussianBlur(from, to, {side, side}, sigma, sigma, cv::BORDER_REPLICATE);
}

/// Gaussian mean with `sigma` in pixels, computed on a smaller picture where it is wide. `half` is
/// for `card` at half its size, empty until it is needed.
cv::Mat mean_around(const cv::Mat& card, cv::Mat& half, double sigma) {
    const double shrink = std::max(1.0, std::floor(sigma / 3.0));
    cv::Mat mean;
    if (shrink < 2.0) {
        blur(card, mean, sigma);
        return mean;
    }
    if (half.empty()) half = reduced(card, card.size(), 2.0);
    const cv::Mat small = shrink < 3.0 ? half : reduced(half, card.size(), shrink);
    blur(small, mean, sigma / shrink);
    cv::resize(mean, mean, card.size(), 0, 0, cv::INTER_LINEAR);
    return mean;
}

/// Steps of 1 - value / mean, 0 where the value is the larger one. Without branches: processors do
/// several pixels at a time.
void ratio_row(const float* value, const float* mean, int count, std::int32_t* steps) {
    wide([=] {
        constexpr float most = ratio_steps - 1;
        for (int x = 0; x < count; ++x) {
            const float ratio = 1.0F - value[x] / mean[x];
            steps[x] =
                static_cast<std::int32_t>(std::min(most, std::max(0.0F, ratio * ratio_steps)));
        }
    });
}

void look_up(const std::vector<std::int16_t>& table, const std::int32_t* steps, int count,
             std::int16_t* out) {
    for (int x = 0; x < count; ++x) out[x] = table[static_cast<std::size_t>(steps[x])];
}

/// What one row of the drawing is made from, in parts of a code.
struct InkRow {
    std::vector<std::int16_t> line, form, cast;
    explicit InkRow(std::size_t width) : line(width), form(width), cast(width) {}
};

void draw_row(const InkRow& ink, const std::uint8_t* code, int count, std::uint8_t* strokes,
              std::uint8_t* shades) {
    const std::int16_t* line = ink.line.data();
    const std::int16_t* form = ink.form.data();
    const std::int16_t* cast = ink.cast.data();
    wide([=] {
        for (int x = 0; x < count; ++x) {
            const auto most = static_cast<std::int16_t>(255 - code[x]);
            const auto drawn =
                static_cast<std::int16_t>((line[x] + form[x] + parts / 2) >> part_bits);
            const auto modelled =
                static_cast<std::int16_t>((form[x] + cast[x] + parts / 2) >> part_bits);
            const std::int16_t stroke = std::min(drawn, most);
            const std::int16_t shade = std::min(modelled, static_cast<std::int16_t>(most - stroke));
            strokes[x] = static_cast<std::uint8_t>(stroke < least_ink ? 0 : stroke);
            shades[x] = static_cast<std::uint8_t>(shade < least_ink ? 0 : shade);
        }
    });
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
    cv::Mat half_sharp;
    cv::Mat half;
    const cv::Mat near =
        mean_around(sharp, half_sharp, std::max(0.5, pixels(Mm{p.stroke_mm}, ppi)));
    const cv::Mat form = mean_around(calm, half, std::max(0.8, pixels(Mm{p.form_mm}, ppi)));
    const cv::Mat wide = mean_around(calm, half, std::max(1.0, pixels(Mm{p.cast_mm}, ppi)));
    const auto stroke_ink = inks(stroke_from, 1.0);
    const auto form_ink = inks(form_from, p.form);
    const auto cast_ink = inks(cast_from, p.cast);

    FieldInk result{Image(card.width(), card.height(), Encoding::gray, card.ppi()),
                    Image(card.width(), card.height(), Encoding::gray, card.ppi())};
    const int width = card.width();
    InkRow ink(static_cast<std::size_t>(width));
    std::vector<std::int32_t> steps(static_cast<std::size_t>(width));
    for (int y = 0; y < card.height(); ++y) {
        ratio_row(sharp.ptr<float>(y), near.ptr<float>(y), width, steps.data());
        look_up(stroke_ink, steps.data(), width, ink.line.data());
        ratio_row(calm.ptr<float>(y), form.ptr<float>(y), width, steps.data());
        look_up(form_ink, steps.data(), width, ink.form.data());
        ratio_row(calm.ptr<float>(y), wide.ptr<float>(y), width, steps.data());
        look_up(cast_ink, steps.data(), width, ink.cast.data());
        draw_row(ink, card.row(y), width, result.strokes.row(y), result.shades.row(y));
    }
    return result;
}

}  // namespace paleproof::filters
