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
constexpr double model_ppi = 150.0;  // fine enough for forms of half a millimeter
constexpr int least_ink = 3;         // a film of fewer codes is dirt on the paper

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

/// Gaussian mean with `sigma` in pixels, computed on a smaller picture where it is wide.
cv::Mat mean_around(const cv::Mat& card, double sigma) {
    const double shrink = std::max(1.0, std::floor(sigma / 3.0));
    cv::Mat mean;
    if (shrink < 2.0) {
        blur(card, mean, sigma);
        return mean;
    }
    blur(reduced(card, card.size(), shrink), mean, sigma / shrink);
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

/// Wide differences, in parts of a code.
struct Modelling {
    cv::Mat form;   ///< the small forms
    cv::Mat shade;  ///< these and the soft shade beside them
};

/// Found on a picture of about `model_ppi`, as they are wide and soft.
Modelling modelling(const cv::Mat& codes, Ppi ppi, const DarkField& p) {
    const double shrink = std::max(1.0, std::round(ppi.value / model_ppi));
    cv::Mat calm;  // grain and single pixels are not modelled
    cv::GaussianBlur(shrink > 1.0 ? reduced(codes, codes.size(), shrink) : codes, calm, {3, 3}, 0);
    calm.convertTo(calm, CV_32F, 1.0, lift);
    const Ppi small{ppi.value / shrink};
    const cv::Mat around = mean_around(calm, std::max(0.8, pixels(Mm{p.form_mm}, small)));
    const cv::Mat beyond = mean_around(calm, std::max(1.0, pixels(Mm{p.cast_mm}, small)));
    const auto form_ink = inks(form_from, p.form);
    const auto cast_ink = inks(cast_from, p.cast);
    Modelling result{cv::Mat(calm.size(), CV_16S), cv::Mat(calm.size(), CV_16S)};
    std::vector<std::int32_t> steps(static_cast<std::size_t>(calm.cols));
    std::vector<std::int16_t> cast(static_cast<std::size_t>(calm.cols));
    for (int y = 0; y < calm.rows; ++y) {
        auto* form = result.form.ptr<std::int16_t>(y);
        auto* shade = result.shade.ptr<std::int16_t>(y);
        ratio_row(calm.ptr<float>(y), around.ptr<float>(y), calm.cols, steps.data());
        look_up(form_ink, steps.data(), calm.cols, form);
        ratio_row(calm.ptr<float>(y), beyond.ptr<float>(y), calm.cols, steps.data());
        look_up(cast_ink, steps.data(), calm.cols, cast.data());
        for (int x = 0; x < calm.cols; ++x) {
            shade[x] = static_cast<std::int16_t>(form[x] + cast[static_cast<std::size_t>(x)]);
        }
    }
    if (shrink > 1.0) {
        cv::resize(result.form, result.form, codes.size(), 0, 0, cv::INTER_LINEAR);
        cv::resize(result.shade, result.shade, codes.size(), 0, 0, cv::INTER_LINEAR);
    }
    return result;
}

/// One row of the drawing; `line`, `form` and `shade` in parts of a code.
void draw_row(const std::int16_t* line, const std::int16_t* form, const std::int16_t* shade,
              const std::uint8_t* code, int count, std::uint8_t* strokes, std::uint8_t* shades) {
    wide([=] {
        for (int x = 0; x < count; ++x) {
            const auto most = static_cast<std::int16_t>(255 - code[x]);
            const auto drawn =
                static_cast<std::int16_t>((line[x] + form[x] + parts / 2) >> part_bits);
            const auto modelled = static_cast<std::int16_t>((shade[x] + parts / 2) >> part_bits);
            const std::int16_t stroke = std::min(drawn, most);
            const std::int16_t rest = std::min(modelled, static_cast<std::int16_t>(most - stroke));
            strokes[x] = static_cast<std::uint8_t>(stroke < least_ink ? 0 : stroke);
            shades[x] = static_cast<std::uint8_t>(rest < least_ink ? 0 : rest);
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
    const cv::Mat near = mean_around(sharp, std::max(0.5, pixels(Mm{p.stroke_mm}, ppi)));
    const Modelling wide = modelling(codes, ppi, p);
    const auto stroke_ink = inks(stroke_from, 1.0);

    FieldInk result{Image(card.width(), card.height(), Encoding::gray, card.ppi()),
                    Image(card.width(), card.height(), Encoding::gray, card.ppi())};
    const int width = card.width();
    std::vector<std::int32_t> steps(static_cast<std::size_t>(width));
    std::vector<std::int16_t> line(static_cast<std::size_t>(width));
    for (int y = 0; y < card.height(); ++y) {
        ratio_row(sharp.ptr<float>(y), near.ptr<float>(y), width, steps.data());
        look_up(stroke_ink, steps.data(), width, line.data());
        draw_row(line.data(), wide.form.ptr<std::int16_t>(y), wide.shade.ptr<std::int16_t>(y),
                 card.row(y), width, result.strokes.row(y), result.shades.row(y));
    }
    return result;
}

}  // namespace paleproof::filters
