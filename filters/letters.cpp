// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/letters.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "color/srgb.h"

namespace paleproof::filters {
namespace {

constexpr double least_confidence = 0.4;
constexpr double least_contrast = 1.5;
constexpr int least_step = 12;         // codes between text and ground that can be told apart
constexpr double most_letter = 0.5;    // share of a line's box
constexpr double ground_until = 0.25;  // of the way from ground to text: still ground
constexpr double letter_from = 0.70;   // from here on the core of a letter
constexpr double off_from = 0.45;      // distance from the way, as a share of it, that is suspect
constexpr double off_whole = 0.90;     // and that no letter has
/// Widest stroke of any letter: of the line's mean stroke (bold words stand in regular lines), and
/// of the x-height (the heaviest poster faces).
constexpr double widest_of_stroke = 2.4;
constexpr double widest_of_x_height = 0.5;
constexpr int core_from = 128;    // strength of the inside of a letter
constexpr int ground_below = 64;  // strength of what counts as ground around one
constexpr int around_px = 4;      // past the box, in which a letter must have come to its end

double smooth(double value, double from, double whole) {
    const double t = std::clamp((value - from) / (whole - from), 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

/// Strength by place on the way, in 256 steps, and by distance from it.
class Way {
  public:
    Way(const TextLine& line, Encoding encoding) : channels_(encoding == Encoding::srgb ? 3 : 1) {
        const auto gray = [](RgbCode c) { return color::gray_code(c[0], c[1], c[2]); };
        for (std::size_t c = 0; c < channels_; ++c) {
            ground_[c] = channels_ == 3 ? line.ground_color[c] : gray(line.ground_color);
            step_[c] = (channels_ == 3 ? line.text_color[c] : gray(line.text_color)) - ground_[c];
            length2_ += step_[c] * step_[c];
        }
    }
    [[nodiscard]] double length() const { return std::sqrt(length2_); }
    [[nodiscard]] std::uint8_t strength(const std::uint8_t* pixel) const {
        double along = 0.0;
        double distance2 = 0.0;
        for (std::size_t c = 0; c < channels_; ++c) {
            const double d = pixel[c] - ground_[c];
            along += d * step_[c];
            distance2 += d * d;
        }
        const double way = along / length2_;
        if (way <= ground_until) return 0;
        // Past the text color is as good as on it.
        const double off2 = std::max(0.0, distance2 / length2_ - way * way);
        return static_cast<std::uint8_t>(
            std::lround(255.0 * smooth(way, ground_until, letter_from) *
                        (1.0 - smooth(std::sqrt(off2), off_from, off_whole))));
    }

  private:
    std::size_t channels_;
    std::array<double, 3> ground_{};
    std::array<double, 3> step_{};
    double length2_ = 0.0;
};

/// What a letter of a line can be, in pixels.
struct LetterSize {
    double x_height;
    double usual;         ///< stroke of most letters, at most
    double widest;        ///< stroke of any letter, at most
    double least_ground;  ///< share of the ring around it that is the line's ground
};

/// A connected part that has the text's color.
struct Part {
    float deepest = 0.0F;  ///< half of its widest stroke
    int ring = 0;          ///< places 2 px outside of it
    int ring_ground = 0;   ///< those of them that are ground
    bool letter = false;
};

/// Takes away what is no letter: parts that go on above or below the line, such as a ribbon or the
/// lower half of an emblem, and parts thicker than `widest` pixels anywhere.
void keep_letters(cv::Mat& strength, const LetterSize& limits) {
    const cv::Mat solid = strength > core_from;
    cv::Mat labels;
    cv::Mat stats;
    cv::Mat centers;
    const int count = cv::connectedComponentsWithStats(solid, labels, stats, centers, 8, CV_32S);
    cv::Mat depth;  // distance to the ground, at most half of the stroke
    cv::distanceTransform(solid, depth, cv::DIST_L2, 3);
    std::vector<Part> parts(static_cast<std::size_t>(count));
    for (int y = 0; y < labels.rows; ++y) {
        const auto* label = labels.ptr<int>(y);
        const auto* d = depth.ptr<float>(y);
        for (int x = 0; x < labels.cols; ++x) {
            Part& part = parts[static_cast<std::size_t>(label[x])];
            part.deepest = std::max(part.deepest, d[x]);
            if (label[x] == 0) continue;
            for (const auto& [dx, dy] : {std::pair{2, 0}, {-2, 0}, {0, 2}, {0, -2}}) {
                const int u = x + dx;
                const int v = y + dy;
                if (u < 0 || v < 0 || u >= labels.cols || v >= labels.rows) continue;
                if (labels.at<int>(v, u) == label[x]) continue;
                ++part.ring;
                if (strength.at<std::uint8_t>(v, u) < ground_below) ++part.ring_ground;
            }
        }
    }
    for (int i = 1; i < count; ++i) {
        Part& part = parts[static_cast<std::size_t>(i)];
        const int top = stats.at<int>(i, cv::CC_STAT_TOP);
        const int left = stats.at<int>(i, cv::CC_STAT_LEFT);
        const int height = stats.at<int>(i, cv::CC_STAT_HEIGHT);
        const bool at_end =
            left == 0 || left + stats.at<int>(i, cv::CC_STAT_WIDTH) == strength.cols;
        const bool goes_on = top == 0 || top + height == strength.rows;
        const float width = 2.0F * part.deepest;
        // A letter may touch a line of the art; a scrap of an emblem is low or heavy.
        const bool scrap = goes_on && (height < 0.75 * limits.x_height || width > limits.usual);
        const bool through = at_end && height == strength.rows;
        // Thin strokes may cross what they like; a leaf beside an outlined letter is heavy.
        const bool bare =
            width > limits.usual && part.ring_ground < limits.least_ground * part.ring;
        part.letter = !scrap && !through && !bare && width <= limits.widest;
    }
    cv::Mat near = cv::Mat::zeros(strength.size(), CV_8UC1);
    for (int y = 0; y < labels.rows; ++y) {
        const auto* label = labels.ptr<int>(y);
        auto* out = near.ptr<std::uint8_t>(y);
        for (int x = 0; x < labels.cols; ++x) {
            out[x] = parts[static_cast<std::size_t>(label[x])].letter ? 255 : 0;
        }
    }
    // Soft rims and hair lines belong to the cores beside them; half tones elsewhere are art.
    const int reach = std::max(2, static_cast<int>(std::lround(0.15 * limits.x_height)));
    cv::dilate(near, near,
               cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * reach + 1, 2 * reach + 1}));
    cv::Mat others = solid.clone();
    for (int y = 0; y < labels.rows; ++y) {
        const auto* label = labels.ptr<int>(y);
        auto* out = others.ptr<std::uint8_t>(y);
        for (int x = 0; x < labels.cols; ++x) {
            if (parts[static_cast<std::size_t>(label[x])].letter) out[x] = 0;
        }
    }
    strength.setTo(0, ~near | others);
}

bool can_be_told(const TextLine& line, const Way& way) {
    return line.confidence >= least_confidence && line.contrast >= least_contrast &&
           line.x_height_px > 0.0 && way.length() >= least_step;
}

}  // namespace

std::vector<Letters> letters(const Image& face, std::span<const TextLine> lines, LetterCut cut) {
    std::vector<Letters> result;
    for (const TextLine& line : lines) {
        const Way way(line, face.encoding());
        const RectPx& b = line.box_px;
        const RectPx part = intersection(
            {b.x - around_px, b.y - around_px, b.width + 2 * around_px, b.height + 2 * around_px},
            face.bounds());
        const bool sure = cut == LetterCut::sure;
        if (part.empty() || way.length() < 1.0 || (sure && !can_be_told(line, way))) continue;
        Letters found{part, Image(part.width, part.height, Encoding::gray),
                      std::max(1.0, line.x_height_px)};
        const auto channels = static_cast<std::size_t>(face.channels());
        for (int y = 0; y < part.height; ++y) {
            const std::uint8_t* in =
                face.row(part.y + y) + static_cast<std::size_t>(part.x) * channels;
            std::uint8_t* out = found.strength.row(y);
            for (int x = 0; x < part.width; ++x, in += channels) out[x] = way.strength(in);
        }
        cv::Mat strength(part.height, part.width, CV_8UC1, found.strength.bytes().data());
        // Turned lines run down the page: above and below them is left and right.
        const bool turned = line.quarter_turns % 2 != 0;
        cv::Mat upright = strength;
        if (turned) cv::transpose(strength, upright);
        // The whole cut asks of a part only that it does not run through the line.
        const double any = 1e9;
        const double usual = 1.6 * line.stroke_px + 1.0;
        const double widest =
            std::max(widest_of_stroke * line.stroke_px, widest_of_x_height * line.x_height_px) +
            1.0;
        keep_letters(upright, sure ? LetterSize{line.x_height_px, usual, widest, 0.35}
                                   : LetterSize{0.0, any, any, 0.0});
        if (turned) cv::transpose(upright, strength);
        if (cv::mean(strength)[0] <= 255.0 * most_letter) result.push_back(std::move(found));
    }
    return result;
}

}  // namespace paleproof::filters
