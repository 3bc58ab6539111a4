// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/carry.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <tuple>
#include <type_traits>
#include <utility>
#include <vector>

namespace paleproof::filters {
namespace {

// Tuned on the pictures of tests/bench/bleed_quality.cpp; the optimum is broad.
constexpr double detail_sigma = 1.5;      // px: what is finer is reflected
constexpr float blur_rate = 0.45F;        // standard deviation of the blur per pixel outward
constexpr float blur_along_lines = 0.2F;  // share of it that is left where lines cross the edge
constexpr double least_gain = 0.8;
constexpr double most_gain = 1.5;
constexpr float other_thing = 60.0F;   // codes between two tones at which detail loses half
constexpr int gain_part = 96;          // px along the edge
constexpr float unblurred = 2.0F;      // px in which the gain comes to half
constexpr float any_direction = 0.3F;  // coherence under which detail keeps to whole pixels

/// Standard deviations, px, of the softer and softer profiles of the edge.
constexpr std::array<float, 6> levels{0.0F, 1.5F, 3.0F, 6.0F, 12.0F, 24.0F};
/// The softer of the two levels that `sigma` lies between is the one after level_below[sigma
/// / 1.5].
constexpr std::array<std::uint8_t, 9> level_below{0, 1, 2, 2, 3, 3, 3, 3, 4};
constexpr int coarsest = static_cast<int>(level_below.size()) - 1;
constexpr std::array<float, 5> per_level{1 / 1.5F, 1 / 1.5F, 1 / 3.0F, 1 / 6.0F, 1 / 12.0F};

cv::Mat view(const EdgeStrip& strip, int from, int rows) {
    return {rows, strip.length, CV_32FC(strip.channels), const_cast<float*>(strip.row(from))};
}

/// Place in 0 .. length-1 that `at` shows, reflected with the outermost sample repeated.
int mirrored(int at, int length) {
    const int period = 2 * length;
    const int phase = ((at % period) + period) % period;
    return phase < length ? phase : period - 1 - phase;
}

/// One line through a Gaussian of `sigma` px, made of three means over boxes as wide as that asks
/// for (Wells 1986), which costs the same whatever the width. Reflected at its ends.
template <int channels>
void soften_line(const float* in, int length, float sigma, float* out) {
    // Three boxes of w px have a variance of 3 (w^2 - 1) / 12.
    const int reach = std::max(
        1, static_cast<int>(std::lround((std::sqrt(4.0F * sigma * sigma + 1.0F) - 1.0F) / 2.0F)));
    const int pad = 3 * reach;
    const auto padded = static_cast<std::size_t>((length + 2 * pad) * channels);
    std::vector<float> line(padded);
    std::vector<float> next(padded);
    for (int i = -pad; i < length + pad; ++i) {
        const int at = i < 0 || i >= length ? mirrored(i, length) : i;
        std::copy_n(in + static_cast<std::ptrdiff_t>(at) * channels, channels,
                    line.data() + static_cast<std::ptrdiff_t>(i + pad) * channels);
    }
    const float scale = 1.0F / static_cast<float>(2 * reach + 1);
    for (int round = 1; round <= 3; ++round) {
        const int begin = round * reach;
        const int end = length + 2 * pad - begin;
        std::array<double, 3> sum{};
        const float* leaves = line.data() + static_cast<std::ptrdiff_t>(begin - reach) * channels;
        const float* comes = leaves;
        for (int i = 0; i < 2 * reach; ++i) {
            for (int c = 0; c < channels; ++c) sum[static_cast<std::size_t>(c)] += *comes++;
        }
        float* middle = next.data() + static_cast<std::ptrdiff_t>(begin) * channels;
        for (int i = begin; i < end; ++i) {
            for (int c = 0; c < channels; ++c) {
                double& running = sum[static_cast<std::size_t>(c)];
                running += *comes++;
                *middle++ = static_cast<float>(running) * scale;
                running -= *leaves++;
            }
        }
        std::swap(line, next);
    }
    std::copy_n(line.data() + static_cast<std::ptrdiff_t>(pad) * channels,
                static_cast<std::ptrdiff_t>(length) * channels, out);
}

/// Lightness of a part of each of the outer rows.
cv::Mat light_of(const EdgeStrip& strip, int rows, int begin, int count) {
    cv::Mat light(rows, count, CV_32FC1);
    for (int r = 0; r < rows; ++r) {
        const float* in = strip.row(r) + static_cast<std::ptrdiff_t>(begin) * strip.channels;
        float* out = light.ptr<float>(r);
        if (strip.channels == 1) {
            std::copy_n(in, count, out);
            continue;
        }
        for (int x = 0; x < count; ++x, in += 3) {
            out[x] = 0.3F * in[0] + 0.6F * in[1] + 0.1F * in[2];
        }
    }
    return light;
}

/// What a Gaussian of sigma 2 px takes from the lightness.
cv::Mat fine_part(const EdgeStrip& strip, int rows, int begin, int count) {
    cv::Mat light = light_of(strip, rows, begin, count);
    cv::Mat soft;
    cv::GaussianBlur(light, soft, {13, 13}, 2.0, 2.0, cv::BORDER_REFLECT);
    light -= soft;
    return light;
}

/// Factor for the reflected detail that gives the result the fine texture of the art inside:
/// |h(base) + g h(detail)|^2 = |h(inside)|^2, h = what a Gaussian of 2 px takes away.
float texture_gain(const EdgeStrip& inside, const EdgeStrip& base, const EdgeStrip& detail) {
    const int rows = std::min(inside.rows, base.rows);
    double a = 0.0;
    double b = 0.0;
    double c = 0.0;
    // Every third part tells enough.
    for (int begin = 0; begin < inside.length; begin += 3 * gain_part) {
        const int count = std::min(gain_part, inside.length - begin);
        const cv::Mat wanted = fine_part(inside, rows, begin, count);
        const cv::Mat rough = fine_part(base, rows, begin, count);
        const cv::Mat fine = fine_part(detail, rows, begin, count);
        a += fine.dot(fine);
        b += rough.dot(fine);
        c += rough.dot(rough) - wanted.dot(wanted);
    }
    if (a < 1e-3) return 1.0F;
    const double root = b * b - a * c;
    const double gain = root > 0.0 ? (-b + std::sqrt(root)) / a : 0.0;
    return static_cast<float>(std::clamp(gain, least_gain, most_gain));
}

/// Place between two samples: the left one's index, and the share of the right one.
struct Between {
    int left = 0;
    float share = 0.0F;
};

Between between(float at, int length) {
    const float inside = std::min(std::max(at, 0.0F), static_cast<float>(length - 1));
    const int left = std::min(static_cast<int>(inside), std::max(0, length - 2));
    return {left, inside - static_cast<float>(left)};
}

/// Tones into `result`, detail into scratch.texture.
template <int channels>
void carry_rows(CarryScratch& scratch, int depth, float other, EdgeStrip& result) {
    const int length = result.length;
    const int next = length > 1 ? channels : 0;
    auto& profile = scratch.profile;
    for (std::size_t k = 1; k < levels.size(); ++k) {
        soften_line<channels>(profile[0].row(0), length, levels[k], profile[k].row(0));
    }
    for (int d = 1; d <= result.rows; ++d) {
        const float* slope =
            scratch.lines.slope.data() + static_cast<std::ptrdiff_t>(d - 1) * length;
        const float* coherence =
            scratch.lines.coherence.data() + static_cast<std::ptrdiff_t>(d - 1) * length;
        const int source = mirrored(d - 1, depth);
        const float* sharp = scratch.detail.row(source);
        const float* blurred = scratch.soft.row(source);
        float* out = result.row(d - 1);
        float* fine = scratch.texture.row(d - 1);
        const auto far = static_cast<float>(d);
        const auto twice = static_cast<float>(d + source);
        for (int x = 0; x < length; ++x, out += channels, fine += channels) {
            const float s = slope[x];
            const float c = coherence[x];
            const float sigma = blur_rate * far * (1.0F - (1.0F - blur_along_lines) * c);
            const std::size_t k = level_below[static_cast<std::size_t>(
                std::min(static_cast<int>(sigma / levels[1]), coarsest))];
            const float mix = std::min((sigma - levels[k]) * per_level[k], 1.0F);
            const auto at = static_cast<float>(x);
            const Between tone = between(at - s * far, length);
            Between grain = between(at - s * std::min(c / any_direction, 1.0F) * twice, length);
            // Between pixels texture would lose its strength; lines would lose their straightness.
            // Written without a branch, which would be guessed wrong every other time.
            const auto whole = static_cast<float>(static_cast<int>(grain.share + 0.5F));
            grain.share += static_cast<float>(c < any_direction) * (whole - grain.share);
            const float* near = profile[k].values.data() + tone.left * channels;
            const float* soft = profile[k + 1].values.data() + tone.left * channels;
            const float* detail = sharp + grain.left * channels;
            // Outlines of another thing than the one that is carried here would be ghosts.
            const float* under = blurred + grain.left * channels;
            constexpr int middle = channels / 2;
            const float apart = (under[middle] - near[middle]) / other;
            const float kept = 1.0F / (1.0F + apart * apart * apart * apart);
            for (int i = 0; i < channels; ++i) {
                const float a = near[i] + (near[i + next] - near[i]) * tone.share;
                const float b = soft[i] + (soft[i + next] - soft[i]) * tone.share;
                out[i] = a + (b - a) * mix;
                fine[i] = kept * (detail[i] + (detail[i + next] - detail[i]) * grain.share);
            }
        }
    }
}

}  // namespace

EdgeStrip carry(const EdgeStrip& inside, int rows, bool bilevel, int calm) {
    CarryScratch scratch;
    EdgeStrip result;
    carry(inside, rows, bilevel, calm, scratch, result);
    return result;
}

void carry(const EdgeStrip& inside, int rows, bool bilevel, int calm, CarryScratch& scratch,
           EdgeStrip& result) {
    const int length = inside.length;
    const int channels = inside.channels;
    const int depth = inside.rows;
    Flow& lines = scratch.lines;
    flow(inside, rows, bilevel, lines);

    EdgeStrip& soft = scratch.soft;
    soft.reshape(length, depth, channels);
    cv::Mat soft_view = view(soft, 0, depth);
    cv::GaussianBlur(view(inside, 0, depth), soft_view, {11, 11}, detail_sigma, detail_sigma,
                     cv::BORDER_REFLECT);
    EdgeStrip& detail = scratch.detail;
    detail.reshape(length, std::min(rows, depth), channels);
    for (std::size_t i = 0; i < detail.values.size(); ++i) {
        detail.values[i] = inside.values[i] - soft.values[i];
    }
    auto& profile = scratch.profile;
    static_assert(std::tuple_size_v<std::remove_reference_t<decltype(profile)>> == levels.size());
    for (EdgeStrip& level : profile) level.reshape(length, 1, channels);
    std::copy_n(soft.row(0), profile[0].values.size(), profile[0].values.begin());

    result.reshape(length, rows, channels);
    EdgeStrip& texture = scratch.texture;
    texture.reshape(length, rows, channels);
    // Between two codes alone, detail is what places a line.
    const float other = bilevel ? 1e4F : other_thing;
    const int reflected = calm > 0 ? std::min(calm, depth) : depth;
    if (channels == 1) {
        carry_rows<1>(scratch, reflected, other, result);
    } else {
        carry_rows<3>(scratch, reflected, other, result);
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
}

}  // namespace paleproof::filters
