// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/letter_parts.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <utility>
#include <vector>

#include "color/srgb.h"
#include "core/patches.h"
#include "survey/rgb_codes.h"
#include "survey/text/mat_view.h"

namespace paleproof::survey {
namespace {

constexpr double letter_from = 0.8;  // of the way from ground to text: core of a letter
/// Farther past the text's color, of the way and in codes, is a shadow or an outline that is
/// stronger than the letters.
constexpr double past_text = 0.6;
constexpr double past_text_codes = 48.0;
constexpr double ground_until = 0.15;
constexpr double near_ground_until = 0.35;
constexpr double depth_share = 0.15;   // of the step that a stroke stands out where it is
constexpr double least_ground = 0.35;  // share of the ring around a heavy part
constexpr double icon_strokes = 2.4;   // mean strokes of the line
constexpr double icon_x_height = 0.3;  // x-heights
constexpr double lump_strokes = 1.6;   // mean strokes
constexpr double speck = 0.5;          // squared strokes: smaller than the dot of an i
constexpr double fine_px = 24.0;       // x-height
constexpr float edge_depth = 1.5F;     // pixels from the ground: at the edge of a part
constexpr double around_box = 0.3;     // x-heights past the box in which letters end
constexpr double most_going_on = 0.4;  // of the cores: more is no art beside the letters
/// Where letters that the ground encloses fill most of a line, what it does not enclose is art.
constexpr double enclosed_from = 0.72;  // share of the ring
constexpr double enclosed_line = 0.4;   // share of the box's length
constexpr double enclosed_least = 0.5;  // share of the ring of any letter there

double widest_stroke(const TextLine& line) {
    return std::max(icon_strokes * line.stroke_px, icon_x_height * line.x_height_px) + 1.0;
}

/// How far each pixel of the box stands out, on the text's side, from what is left when strokes
/// are filled: 0 in grounds and in art broader than a stroke.
cv::Mat stroke_depth(const Image& source, RectPx box, const TextLine& line, bool light) {
    const int side = static_cast<int>(std::ceil(widest_stroke(line))) | 1;
    const RectPx wide = intersection(
        {box.x - side, box.y - side, box.width + 2 * side, box.height + 2 * side}, source.bounds());
    cv::Mat depth;
    cv::morphologyEx(mat(source)(cv::Rect(wide.x, wide.y, wide.width, wide.height)), depth,
                     light ? cv::MORPH_TOPHAT : cv::MORPH_BLACKHAT,
                     cv::getStructuringElement(cv::MORPH_RECT, {side, side}), {-1, -1}, 1,
                     cv::BORDER_REPLICATE);
    return depth(cv::Rect(box.x - wide.x, box.y - wide.y, box.width, box.height));
}

/// Cores, ground and nearly ground by color and depth alone.
cv::Mat parts_by_color(const Image& source, RectPx box, const TextLine& line) {
    const double ground = gray_of(line.ground_color);
    const double step = gray_of(line.text_color) - ground;
    cv::Mat parts = cv::Mat::zeros(box.height, box.width, CV_8UC1);
    if (step == 0.0) return parts;
    const cv::Mat depth = stroke_depth(source, box, line, step > 0.0);
    const double least_depth = std::max(1.0, depth_share * std::abs(step));
    const double letter_until = 1.0 + std::max(past_text, past_text_codes / std::abs(step));
    cv::Mat past = cv::Mat::zeros(parts.size(), CV_8UC1);
    bool any_past = false;
    for (int y = 0; y < box.height; ++y) {
        const auto* deep = depth.ptr<std::uint8_t>(y);
        auto* out = parts.ptr<std::uint8_t>(y);
        for (int x = 0; x < box.width; ++x) {
            const double way = (source.row(box.y + y)[box.x + x] - ground) / step;
            if (way >= letter_from) {
                if (deep[x] >= least_depth) out[x] = letter_core;
                if (way > letter_until) {
                    past.at<std::uint8_t>(y, x) = 255;
                    any_past = true;
                }
            } else if (way <= ground_until) {
                out[x] = letter_ground;
            } else if (way <= near_ground_until) {
                out[x] = letter_near_ground;
            }
        }
    }
    if (any_past) {
        // Its rim passes through the text's color.
        cv::dilate(past, past, cv::getStructuringElement(cv::MORPH_RECT, {3, 3}));
        parts.setTo(0, past & (parts == letter_core));
    }
    return parts;
}

/// From inside a letter to the ground beside it, past its soft rim, which large letters have wider.
int past_edge(const TextLine& line) {
    return std::max(2, static_cast<int>(std::lround(0.06 * line.x_height_px)));
}

/// Pixels around the box that are looked at; letters do not reach halfway through them.
int around(const TextLine& line) {
    return std::max(4, static_cast<int>(std::lround(around_box * line.x_height_px)));
}

/// A connected part of the cores.
struct Part {
    float deepest = 0.0F;  ///< half of its broadest stroke
    int area = 0;
    int ring = 0;            ///< places just outside of it
    int ring_ground = 0;     ///< those of them that are ground
    int high = 0, wide = 0;  ///< once turned upright
    bool goes_on = false;    ///< reaches well past the box
    [[nodiscard]] bool enclosed(double share) const { return ring_ground >= share * ring; }
};

std::vector<Part> measured_parts(const cv::Mat& parts, const cv::Mat& cores,
                                 const LabelledPatches& labels, const TextLine& line) {
    cv::Mat depth;
    cv::distanceTransform(cores, depth, cv::DIST_L2, 3);
    std::vector<Part> result(static_cast<std::size_t>(labels.count()));
    const int off = past_edge(line);
    const int past = around(line) / 2;
    for (int y = 0; y < labels.height(); ++y) {
        for (int x = 0; x < labels.width(); ++x) {
            const int label = labels.at(x, y);
            if (label == 0) continue;
            Part& part = result[static_cast<std::size_t>(label)];
            part.deepest = std::max(part.deepest, depth.at<float>(y, x));
            if (y < past || x < past || y >= labels.height() - past || x >= labels.width() - past) {
                part.goes_on = true;
            }
            if (depth.at<float>(y, x) > edge_depth) continue;
            for (const auto& [dx, dy] : {std::pair{off, 0}, {-off, 0}, {0, off}, {0, -off}}) {
                const int u = x + dx;
                const int v = y + dy;
                if (u < 0 || v < 0 || u >= labels.width() || v >= labels.height()) continue;
                if (labels.at(u, v) == label) continue;
                const std::uint8_t there = parts.at<std::uint8_t>(v, u);
                ++part.ring;
                if (there == letter_ground || there == letter_near_ground) ++part.ring_ground;
            }
        }
    }
    const bool turned = line.quarter_turns % 2 != 0;
    for (int i = 1; i < labels.count(); ++i) {
        Part& part = result[static_cast<std::size_t>(i)];
        part.area = labels.patch(i).area;
        part.high = labels.patch(i).height();
        part.wide = labels.patch(i).width();
        if (turned) std::swap(part.high, part.wide);
    }
    return result;
}

/// Which parts are icons and art, by label.
std::vector<std::uint8_t> art_among(const std::vector<Part>& parts, const TextLine& line) {
    const double widest = widest_stroke(line);
    const double heavy_from = 2.0 * line.stroke_px + 1.0;
    const bool turned = line.quarter_turns % 2 != 0;
    // Beside small letters half of the ring is their own soft rim.
    const bool fine = line.x_height_px < fine_px;
    const double surely = fine ? 0.6 * enclosed_from : enclosed_from;
    const double least_of_letter = fine ? 0.5 * enclosed_least : enclosed_least;
    int enclosed = 0;
    int all = 0;
    int going_on = 0;
    for (std::size_t i = 1; i < parts.size(); ++i) {
        const Part& part = parts[i];
        all += part.area;
        if (part.goes_on) going_on += part.area;
        if (!part.goes_on && part.enclosed(surely) && part.high >= 0.7 * line.x_height_px) {
            enclosed += part.wide;
        }
    }
    const bool all_enclosed =
        enclosed >= enclosed_line * (turned ? line.box_px.height : line.box_px.width);
    const bool ends = going_on <= most_going_on * all;
    std::vector<std::uint8_t> art(parts.size(), 0);
    for (std::size_t i = 1; i < parts.size(); ++i) {
        const Part& part = parts[i];
        const double width = 2.0 * static_cast<double>(part.deepest);
        const bool heavy = width > heavy_from && (part.goes_on || !part.enclosed(least_ground));
        const bool rule = part.high < 0.35 * line.x_height_px && part.wide > 0.8 * line.x_height_px;
        const bool low = part.high < 0.5 * line.x_height_px;
        const bool open = all_enclosed && !part.enclosed(low ? surely : least_of_letter);
        // Dots and strokes are low or broad, never both; what shows through a letter may be.
        const bool lump =
            part.high < 0.7 * line.x_height_px && width > lump_strokes * line.stroke_px + 1.0;
        const bool small = part.area < speck * line.stroke_px * line.stroke_px;
        art[i] = small || lump || width > widest || heavy || rule || open || (ends && part.goes_on)
                     ? 1
                     : 0;
    }
    return art;
}

}  // namespace

Image letter_parts(const Image& source, RectPx box, const TextLine& line) {
    const int around = std::max(4, static_cast<int>(std::lround(around_box * line.x_height_px)));
    const RectPx field = intersection(
        {box.x - around, box.y - around, box.width + 2 * around, box.height + 2 * around},
        source.bounds());
    const cv::Mat parts = parts_by_color(source, field, line);
    const cv::Mat cores = parts == letter_core;
    const LabelledPatches labels(cores.ptr(), cores.cols, cores.rows);
    const auto art = art_among(measured_parts(parts, cores, labels, line), line);
    Image result(box.width, box.height, Encoding::gray, source.ppi());
    for (int y = 0; y < box.height; ++y) {
        const auto* part = parts.ptr<std::uint8_t>(box.y - field.y + y) + (box.x - field.x);
        const auto* label = labels.row(box.y - field.y + y) + (box.x - field.x);
        std::uint8_t* out = result.row(y);
        for (int x = 0; x < box.width; ++x) {
            out[x] = art[static_cast<std::size_t>(label[x])] != 0 ? std::uint8_t{0} : part[x];
        }
    }
    return result;
}

}  // namespace paleproof::survey
