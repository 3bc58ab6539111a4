// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/carry.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "filters/flow.h"

namespace paleproof::filters {
namespace {

// Tuned on the pictures of tests/bench/bleed_quality.cpp; the optimum is broad.
constexpr double detail_sigma = 1.5;      // px: what is finer is reflected
constexpr float blur_rate = 0.45F;        // standard deviation of the blur per pixel outward
constexpr float blur_along_lines = 0.2F;  // share of it that is left where lines cross the edge
constexpr double least_gain = 0.8;
constexpr double most_gain = 1.5;
constexpr float unblurred = 2.0F;      // px in which the gain comes to half
constexpr float any_direction = 0.3F;  // coherence under which detail keeps to whole pixels

/// Standard deviations, px, of the softer and softer profiles of the edge.
constexpr std::array<float, 6> levels{0.0F, 1.5F, 3.0F, 6.0F, 12.0F, 24.0F};

cv::Mat view(const EdgeStrip& strip, int from, int rows) {
    return {rows, strip.length, CV_32FC(strip.channels), const_cast<float*>(strip.row(from))};
}

int folded(int row, int rows) {
    const int period = 2 * rows;
    const int phase = row % period;
    return phase < rows ? phase : period - 1 - phase;
}

/// What a Gaussian of sigma 2 px takes from the lightness.
cv::Mat fine_part(const EdgeStrip& strip, int rows) {
    cv::Mat light(rows, strip.length, CV_32FC1);
    const float* in = strip.values.data();
    for (int r = 0; r < rows; ++r) {
        float* out = light.ptr<float>(r);
        for (int x = 0; x < strip.length; ++x, in += strip.channels) {
            out[x] = strip.channels == 3 ? 0.3F * in[0] + 0.6F * in[1] + 0.1F * in[2] : in[0];
        }
    }
    cv::Mat soft;
    cv::GaussianBlur(light, soft, {}, 2.0, 2.0, cv::BORDER_REFLECT);
    return light - soft;
}

/// Factor for the reflected detail that gives the result the fine texture of the art inside:
/// |h(base) + g h(detail)|^2 = |h(inside)|^2, h = what a Gaussian of 2 px takes away.
float texture_gain(const EdgeStrip& inside, const EdgeStrip& base, const EdgeStrip& detail) {
    const int rows = std::min(inside.rows, base.rows);
    const cv::Mat wanted = fine_part(inside, rows);
    const cv::Mat rough = fine_part(base, rows);
    const cv::Mat fine = fine_part(detail, rows);
    const double a = fine.dot(fine);
    const double b = rough.dot(fine);
    const double c = rough.dot(rough) - wanted.dot(wanted);
    if (a < 1e-3) return 1.0F;
    const double root = b * b - a * c;
    const double gain = root > 0.0 ? (-b + std::sqrt(root)) / a : 0.0;
    return static_cast<float>(std::clamp(gain, least_gain, most_gain));
}

}  // namespace

EdgeStrip carry(const EdgeStrip& inside, int rows, bool bilevel) {
    const int length = inside.length;
    const int channels = inside.channels;
    const int depth = inside.rows;
    const Flow lines = flow(inside, rows, bilevel);

    EdgeStrip soft(length, depth, channels);
    cv::Mat soft_view = view(soft, 0, depth);
    cv::GaussianBlur(view(inside, 0, depth), soft_view, {}, detail_sigma, detail_sigma,
                     cv::BORDER_REFLECT);

    EdgeStrip detail = inside;
    for (std::size_t i = 0; i < detail.values.size(); ++i) detail.values[i] -= soft.values[i];
    std::array<EdgeStrip, levels.size()> profile;
    profile.fill(EdgeStrip(length, 1, channels));
    std::copy_n(soft.row(0), profile[0].values.size(), profile[0].values.begin());
    for (std::size_t k = 1; k < levels.size(); ++k) {
        cv::Mat out = view(profile[k], 0, 1);
        cv::GaussianBlur(view(soft, 0, 1), out, {0, 1}, levels[k], 0.0, cv::BORDER_REFLECT);
    }

    EdgeStrip result(length, rows, channels);
    EdgeStrip texture(length, rows, channels);
    for (int d = 1; d <= rows; ++d) {
        const float* slope = lines.slope.data() + static_cast<std::ptrdiff_t>(d - 1) * length;
        const float* coherence =
            lines.coherence.data() + static_cast<std::ptrdiff_t>(d - 1) * length;
        const int source = folded(d - 1, depth);
        const float* sharp = detail.row(source);
        float* out = result.row(d - 1);
        float* fine = texture.row(d - 1);
        const auto far = static_cast<float>(d);
        for (int x = 0; x < length; ++x) {
            const float s = slope[x];
            const float c = coherence[x];
            const float sigma = blur_rate * far * (1.0F - (1.0F - blur_along_lines) * c);
            std::size_t k = 0;
            while (k + 2 < levels.size() && levels[k + 1] < sigma) ++k;
            const float between =
                std::clamp((sigma - levels[k]) / (levels[k + 1] - levels[k]), 0.0F, 1.0F);
            const float from =
                std::clamp(static_cast<float>(x) - s * far, 0.0F, static_cast<float>(length - 1));
            const int left = std::min(static_cast<int>(from), std::max(0, length - 2));
            const int right = std::min(left + 1, length - 1);
            const float t = from - static_cast<float>(left);
            float from2 = std::clamp(static_cast<float>(x) - s * static_cast<float>(d + source),
                                     0.0F, static_cast<float>(length - 1));
            // Between pixels texture would lose its strength; lines would lose their straightness.
            if (c < any_direction) from2 = static_cast<float>(static_cast<int>(from2 + 0.5F));
            const int left2 = std::min(static_cast<int>(from2), std::max(0, length - 2));
            const int right2 = std::min(left2 + 1, length - 1);
            const float t2 = from2 - static_cast<float>(left2);
            for (int ch = 0; ch < channels; ++ch) {
                const auto i = static_cast<std::size_t>(left * channels + ch);
                const auto j = static_cast<std::size_t>(right * channels + ch);
                const float a = profile[k].values[i] * (1.0F - t) + profile[k].values[j] * t;
                const float b =
                    profile[k + 1].values[i] * (1.0F - t) + profile[k + 1].values[j] * t;
                const auto p = static_cast<std::size_t>(left2 * channels + ch);
                const auto q = static_cast<std::size_t>(right2 * channels + ch);
                const float fineness = sharp[p] * (1.0F - t2) + sharp[q] * t2;
                out[x * channels + ch] = a + (b - a) * between;
                fine[x * channels + ch] = fineness;
            }
        }
    }
    const float gain = bilevel ? 1.0F : texture_gain(inside, result, texture);
    for (int d = 1; d <= rows; ++d) {
        // Next to the edge nothing is blurred yet, so nothing has to be made up for.
        const float scale = 1.0F + (gain - 1.0F) * static_cast<float>(d - 1) /
                                       (static_cast<float>(d - 1) + unblurred);
        float* out = result.row(d - 1);
        const float* fine = texture.row(d - 1);
        for (int i = 0; i < length * channels; ++i) out[i] += scale * fine[i];
    }
    return result;
}

}  // namespace paleproof::filters
