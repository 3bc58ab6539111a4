// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/line_rank.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "core/patches.h"

namespace paleproof::filters {
namespace {

constexpr float own_weight = 0.5F;      // of the line's own contrast
constexpr float shape_weight = 1.0F;    // of the contrast between what lies to both sides
constexpr float strong_enough = 40.0F;  // codes
constexpr double crowd_mm = 6.0;        // lines as near as this share their place
constexpr float crowd_free = 6.0F;      // mean strength that a place has for nothing
constexpr float crowd_power = 0.5F;     // 0 = crowds do not matter, 1 = all places get the same
constexpr float first_worth = 8.0F;

cv::Mat view(const Plane& plane) {
    return {plane.height, plane.width, CV_32FC1, const_cast<float*>(plane.values.data())};
}

int odd(double size) { return 2 * static_cast<int>(std::lround(size / 2.0 - 0.25)) + 1; }

/// Difference of the tone over about 2/3 mm, fine texture left out.
cv::Mat shape_contrast(const Plane& plane) {
    const cv::Mat tone = view(plane);
    cv::Mat small;
    cv::resize(tone, small, {std::max(1, tone.cols / 4), std::max(1, tone.rows / 4)}, 0, 0,
               cv::INTER_AREA);
    small.convertTo(small, CV_8U);
    cv::medianBlur(small, small, 3);
    cv::Mat lightest;
    cv::Mat darkest;
    const cv::Mat cross = cv::getStructuringElement(cv::MORPH_CROSS, {3, 3});
    cv::dilate(small, lightest, cross);
    cv::erode(small, darkest, cross);
    small = lightest - darkest;
    cv::GaussianBlur(small, small, {3, 3}, 0.0);
    cv::Mat result;
    cv::resize(small, result, tone.size(), 0, 0, cv::INTER_LINEAR);
    return result;
}

/// The share of the mean strength of all lines around that falls on each place.
void divide_by_crowd(Plane& rank, Ppi ppi) {
    cv::Mat small;
    const cv::Mat all = view(rank);
    cv::resize(all, small, {std::max(1, all.cols / 8), std::max(1, all.rows / 8)}, 0, 0,
               cv::INTER_AREA);
    const int window = odd(pixels(Mm{crowd_mm}, ppi) / 8.0);
    for (int i = 0; i < 2; ++i) {
        cv::blur(small, small, {window, window}, {-1, -1}, cv::BORDER_REPLICATE);
    }
    cv::Mat crowd;
    cv::resize(small, crowd, all.size(), 0, 0, cv::INTER_LINEAR);
    for (int y = 0; y < rank.height; ++y) {
        float* r = rank.row(y);
        const auto* c = crowd.ptr<float>(y);
        for (int x = 0; x < rank.width; ++x) {
            if (r[x] > 0.0F) r[x] /= std::pow(c[x] + crowd_free, crowd_power);
        }
    }
}

}  // namespace

Plane line_rank(const DrawnLines& lines, std::span<const RectPx> first) {
    Plane rank(lines.contrast.width, lines.contrast.height);
    const cv::Mat shapes = shape_contrast(lines.tone);
    for (int y = 0; y < rank.height; ++y) {
        const float* contrast = lines.contrast.row(y);
        const auto* shape = shapes.ptr<std::uint8_t>(y);
        float* out = rank.row(y);
        for (int x = 0; x < rank.width; ++x) {
            if (contrast[x] <= 0.0F) continue;
            const float weight =
                own_weight * contrast[x] + shape_weight * static_cast<float>(shape[x]);
            out[x] = weight / (1.0F + weight / strong_enough);
        }
    }
    divide_by_crowd(rank, lines.ppi);
    for (const RectPx& box : first) {
        const RectPx part = intersection(box, {0, 0, rank.width, rank.height});
        for (int y = part.y; y < part.bottom(); ++y) {
            float* out = rank.row(y);
            for (int x = part.x; x < part.right(); ++x) {
                // Each box once, also where two overlap.
                out[x] = std::copysign(out[x], -1.0F);
            }
        }
    }
    for (float& r : rank.values) {
        if (std::signbit(r)) r *= -first_worth;
    }
    return rank;
}

void remove_echoes(Plane& rank, const StrokeFlow& flow, RectPx area) {
    constexpr float same_way = 0.85F;  // cosine of about 30 degrees
    const RectPx inner{area.x + 1, area.y + 1, area.width - 2, area.height - 2};
    if (inner.empty()) return;
    std::vector<std::uint8_t> outside(rank.values.size(), 0);
    for (int y = 0; y < rank.height; ++y) {
        float* r = rank.row(y);
        std::uint8_t* out = outside.data() + static_cast<std::ptrdiff_t>(y) * rank.width;
        const bool past_y = y < inner.y || y >= inner.bottom();
        for (int x = 0; x < rank.width; ++x) {
            const bool past_x = x < inner.x || x >= inner.right();
            if ((!past_x && !past_y) || r[x] <= 0.0F) continue;
            const bool trimmed =
                x >= area.x && x < area.right() && y >= area.y && y < area.bottom();
            const StrokeFlow::Along& a = flow.at(x, y);
            const bool aside =
                (past_y && std::abs(a.x) > same_way) || (past_x && std::abs(a.y) > same_way);
            if (aside && !trimmed) {
                r[x] = 0.0F;
            } else {
                out[x] = 255;
            }
        }
    }
    const Patches patches = patches_of(outside.data(), rank.width, rank.height);
    clear_patches(patches, rank.values.data(), rank.width, [&](std::size_t i) {
        const Patches::Patch& patch = patches.patches[i];
        const bool comes_in = patch.right > area.x && patch.left < area.right() &&
                              patch.bottom > area.y && patch.top < area.bottom();
        return !comes_in;
    });
}

}  // namespace paleproof::filters
