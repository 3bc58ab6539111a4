// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdlib>
#include <opencv2/imgproc.hpp>

#include "color/srgb.h"
#include "core/patches.h"
#include "survey/symbol_parts.h"
#include "survey/symbol_pixels.h"

namespace paleproof::survey {
namespace {

constexpr double figure_from = 0.75;  // of the way from the surroundings to the figure
constexpr double around_until = 0.25;

}  // namespace

std::optional<SymbolInProof> symbol_in_proof(const Image& source, const Image& proof,
                                             const Symbol& symbol) {
    const RectPx field = grown(symbol.box_px, source);
    if (field.empty()) return std::nullopt;
    const RgbCode& from = symbol.on_field ? symbol.field_color : symbol.ground_color;
    Codes step{};
    double length2 = 0.0;
    for (std::size_t c = 0; c < 3; ++c) {
        step[c] = symbol.figure_color[c] - from[c];
        length2 += static_cast<double>(step[c]) * step[c];
    }
    if (length2 < least_difference * least_difference) return std::nullopt;
    // What lies outside of a field may have the color of its figure, and beside its rim it may
    // carry a rule.
    cv::Mat outside(field.height, field.width, CV_8UC1, cv::Scalar(0));
    cv::Mat rim = outside;
    if (symbol.on_field) {
        cv::Mat inside(field.height, field.width, CV_8UC1);
        for (int y = 0; y < field.height; ++y) {
            for (int x = 0; x < field.width; ++x) {
                const Codes c = at(source, field.x + x, field.y + y);
                inside.at<std::uint8_t>(y, x) =
                    difference(c, symbol.ground_color) < difference(c, from) ? 0 : 255;
            }
        }
        fill_holes(inside.data, inside.cols, inside.rows);
        outside = ~inside;
        cv::dilate(outside, rim,
                   cv::getStructuringElement(cv::MORPH_RECT, {2 * margin + 1, 2 * margin + 1}));
    }
    std::array<int, 256> figure{};
    std::array<int, 256> around{};
    int figures = 0;
    int arounds = 0;
    for (int y = 0; y < field.height; ++y) {
        for (int x = 0; x < field.width; ++x) {
            const Codes c = at(source, field.x + x, field.y + y);
            double along = 0.0;
            for (std::size_t i = 0; i < 3; ++i)
                along += static_cast<double>(c[i] - from[i]) * step[i];
            const double way = along / length2;
            const std::uint8_t code = proof.row(field.y + y)[field.x + x];
            if (way >= figure_from) {
                if (outside.at<std::uint8_t>(y, x) != 0) continue;
                ++figure[code];
                ++figures;
            } else if (way <= around_until && difference(c, from) < 2 * least_difference &&
                       rim.at<std::uint8_t>(y, x) == 0) {
                ++around[code];
                ++arounds;
            }
        }
    }
    if (figures < fewest || arounds < fewest) return std::nullopt;
    const auto median = [](const std::array<int, 256>& count, int all) {
        int below = 0;
        for (int i = 0; i < 256; ++i) {
            below += count[static_cast<std::size_t>(i)];
            if (2 * below >= all) return i;
        }
        return 255;
    };
    const int f = median(figure, figures);
    const int a = median(around, arounds);
    SymbolInProof result;
    result.contrast = color::contrast_ratio(color::linear(static_cast<std::uint8_t>(f)),
                                            color::linear(static_cast<std::uint8_t>(a)));
    int found = 0;
    int clear = 0;
    for (int i = 0; i < 256; ++i) {
        const bool of_figure = std::abs(i - f) <= std::abs(i - a);
        (of_figure ? found : clear) +=
            of_figure ? figure[static_cast<std::size_t>(i)] : around[static_cast<std::size_t>(i)];
    }
    result.found = static_cast<double>(found) / figures;
    result.clear = static_cast<double>(clear) / arounds;
    return result;
}

}  // namespace paleproof::survey
