// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/enclosed.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <utility>
#include <vector>

#include "color/srgb.h"
#include "core/patches.h"
#include "survey/rgb_codes.h"

namespace paleproof::survey {
namespace {

constexpr double text_from = 0.5;        // of the way from ground to text
constexpr double ground_until = 0.35;    // the same: still ground
constexpr double least_enclosed = 0.75;  // share of a part's ring
constexpr double least_height = 0.7;     // x-heights
constexpr double widest = 0.4;           // x-heights: no stroke is broader
constexpr double usual_gap = 0.3;        // x-heights between letters
constexpr double least_length = 0.5;     // of the line's box that such parts and gaps fill
constexpr double least_gain = 1.25;      // times farther from the ground

struct Part {
    int ring = 0;
    int ring_ground = 0;
    float deepest = 0.0F;
    bool letter = false;
};

std::uint8_t gray_at(const Image& face, int x, int y) {
    if (face.channels() == 1) return face.row(y)[x];
    const std::uint8_t* rgb = face.row(y) + 3 * x;
    return color::gray_code(rgb[0], rgb[1], rgb[2]);
}

/// 2 where the face lies on the text's side, 1 where it is ground, else 0.
cv::Mat sides(const Image& face, RectPx box, double ground, double step) {
    cv::Mat result = cv::Mat::zeros(box.height, box.width, CV_8UC1);
    for (int y = 0; y < box.height; ++y) {
        auto* out = result.ptr<std::uint8_t>(y);
        for (int x = 0; x < box.width; ++x) {
            const double way = (gray_at(face, box.x + x, box.y + y) - ground) / step;
            out[x] = way >= text_from ? 2 : way <= ground_until ? 1 : 0;
        }
    }
    return result;
}

}  // namespace

void mend_outlined(TextLine& line, const Image& face, const PaperLuminance& paper) {
    const double ground = gray_of(line.ground_color);
    const double step = gray_of(line.text_color) - ground;
    const double farthest = ground + least_gain * step;
    if (step == 0.0 || farthest < 0.0 || farthest > 255.0 || line.x_height_px < 4.0) return;
    const int around = std::max(3, static_cast<int>(0.2 * line.x_height_px));
    const RectPx& b = line.box_px;
    const RectPx box = intersection(
        {b.x - around, b.y - around, b.width + 2 * around, b.height + 2 * around}, face.bounds());
    if (box.empty()) return;
    const cv::Mat side = sides(face, box, ground, step);
    const cv::Mat solid = side == 2;
    const LabelledPatches labels(solid.ptr(), solid.cols, solid.rows);
    const int count = labels.count();
    cv::Mat depth;
    cv::distanceTransform(solid, depth, cv::DIST_L2, 3);
    std::vector<Part> parts(static_cast<std::size_t>(count));
    const int off = std::max(2, static_cast<int>(std::lround(0.06 * line.x_height_px)));
    for (int y = off; y < labels.height() - off; ++y) {
        for (int x = off; x < labels.width() - off; ++x) {
            const int label = labels.at(x, y);
            if (label == 0) continue;
            Part& part = parts[static_cast<std::size_t>(label)];
            part.deepest = std::max(part.deepest, depth.at<float>(y, x));
            if (depth.at<float>(y, x) > 1.5F) continue;  // not at the part's edge
            for (const auto& [dx, dy] : {std::pair{off, 0}, {-off, 0}, {0, off}, {0, -off}}) {
                if (labels.at(x + dx, y + dy) == label) continue;
                ++part.ring;
                if (side.at<std::uint8_t>(y + dy, x + dx) == 1) ++part.ring_ground;
            }
        }
    }
    const bool turned = line.quarter_turns % 2 != 0;
    int length = 0;
    for (int i = 1; i < count; ++i) {
        Part& part = parts[static_cast<std::size_t>(i)];
        const Patches::Patch& patch = labels.patch(i);
        const bool inside = patch.left > 0 && patch.top > 0 && patch.right < labels.width() &&
                            patch.bottom < labels.height();
        const int tall = turned ? patch.width() : patch.height();
        part.letter = inside && tall >= least_height * line.x_height_px &&
                      2.0 * part.deepest <= widest * line.x_height_px &&
                      part.ring_ground >= least_enclosed * part.ring;
        if (part.letter) {
            length += (turned ? patch.height() : patch.width()) +
                      static_cast<int>(usual_gap * line.x_height_px);
        }
    }
    if (length < least_length * (turned ? b.height : b.width)) return;
    // The median of each channel over the cores of these parts.
    std::array<std::array<int, 256>, 3> counts{};
    int total = 0;
    for (int y = 0; y < labels.height(); ++y) {
        for (int x = 0; x < labels.width(); ++x) {
            const Part& part = parts[static_cast<std::size_t>(labels.at(x, y))];
            if (!part.letter || depth.at<float>(y, x) < 0.6F * part.deepest) continue;
            const std::uint8_t* at = face.row(box.y + y) + (box.x + x) * face.channels();
            for (std::size_t c = 0; c < 3; ++c) ++counts[c][at[face.channels() == 3 ? c : 0]];
            ++total;
        }
    }
    RgbCode text{};
    for (std::size_t c = 0; c < 3; ++c) {
        int sum = 0;
        std::size_t code = 0;
        while (code < 255 && 2 * (sum += counts[c][code]) < total) ++code;
        text[c] = static_cast<std::uint8_t>(code);
    }
    if ((gray_of(text) - ground) / step < least_gain) return;
    line.text_color = text;
    const auto luminance = [](RgbCode c) { return color::linear(gray_of(c)); };
    const RgbCode& under = line.ground_color;
    line.contrast = color::contrast_ratio(luminance(text), luminance(under));
    line.paper_contrast = paper ? color::contrast_ratio(paper(text), paper(under)) : line.contrast;
}

}  // namespace paleproof::survey
