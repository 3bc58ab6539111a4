// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/proof_text.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <utility>
#include <vector>

#include "color/srgb.h"

namespace paleproof::survey {
namespace {

constexpr double letter_from = 0.8;  // of the way from ground to text: core of a letter
constexpr double ground_until = 0.15;
constexpr double near_ground_until = 0.35;
constexpr double least_ground = 0.35;  // share of the ring around a letter
constexpr int fewest = 8;              // pixels of each that make a measure
constexpr double icon_strokes = 2.4;   // mean strokes of the line
constexpr double icon_x_height = 0.5;  // x-heights
constexpr double column_found = 0.6;   // share of a column's letter pixels
constexpr double tail = 0.02;          // of the letters' pixels left out at each end of an extent

/// Counts of codes, for their median: a stain at the line's end decides nothing.
struct Codes {
    std::array<int, 256> count{};
    int total = 0;
    void add(std::uint8_t code) {
        ++count[code];
        ++total;
    }
    [[nodiscard]] std::uint8_t median() const {
        int sum = 0;
        for (std::size_t code = 0; code < count.size(); ++code) {
            sum += count[code];
            if (2 * sum >= total) return static_cast<std::uint8_t>(code);
        }
        return 255;
    }
};

/// 255 where the source shows the core of a letter, 128 where it shows ground, 64 nearly ground.
cv::Mat parts_of(const Image& source, RectPx box, const TextLine& line) {
    const auto gray = [](RgbCode c) { return color::gray_code(c[0], c[1], c[2]); };
    const double ground = gray(line.ground_color);
    const double step = gray(line.text_color) - ground;
    cv::Mat parts = cv::Mat::zeros(box.height, box.width, CV_8UC1);
    if (step == 0.0) return parts;
    for (int y = 0; y < box.height; ++y) {
        auto* out = parts.ptr<std::uint8_t>(y);
        for (int x = 0; x < box.width; ++x) {
            const double way = (source.row(box.y + y)[box.x + x] - ground) / step;
            if (way >= letter_from) {
                out[x] = 255;
            } else if (way <= ground_until) {
                out[x] = 128;
            } else if (way <= near_ground_until) {
                out[x] = 64;
            }
        }
    }
    return parts;
}

/// Takes away what has the text's color and is no letter: icons, art that the box cuts, and art
/// that does not lie on the line's ground.
void leave_out_art(cv::Mat& parts, const TextLine& line) {
    const double widest =
        std::max(icon_strokes * line.stroke_px, icon_x_height * line.x_height_px) + 1.0;
    const double widest_cut = 2.0 * line.stroke_px + 1.0;
    const cv::Mat solid = parts == 255;
    cv::Mat depth;
    cv::distanceTransform(solid, depth, cv::DIST_L2, 3);
    cv::Mat labels;
    cv::Mat stats;
    cv::Mat centers;
    const int count = cv::connectedComponentsWithStats(solid, labels, stats, centers, 8, CV_32S);
    std::vector<float> deepest(static_cast<std::size_t>(count), 0.0F);
    std::vector<std::uint8_t> cut(deepest.size(), 0);
    std::vector<int> ring(deepest.size(), 0);
    std::vector<int> ring_ground(deepest.size(), 0);
    for (int y = 0; y < labels.rows; ++y) {
        for (int x = 0; x < labels.cols; ++x) {
            const auto label = static_cast<std::size_t>(labels.at<int>(y, x));
            deepest[label] = std::max(deepest[label], depth.at<float>(y, x));
            if (y == 0 || x == 0 || y == labels.rows - 1 || x == labels.cols - 1) cut[label] = 1;
            if (label == 0) continue;
            for (const auto& [dx, dy] : {std::pair{2, 0}, {-2, 0}, {0, 2}, {0, -2}}) {
                const int u = x + dx;
                const int v = y + dy;
                if (u < 0 || v < 0 || u >= labels.cols || v >= labels.rows) continue;
                if (labels.at<int>(v, u) == labels.at<int>(y, x)) continue;
                const std::uint8_t there = parts.at<std::uint8_t>(v, u);
                ++ring[label];
                if (there == 128 || there == 64) ++ring_ground[label];
            }
        }
    }
    std::vector<std::uint8_t> art(deepest.size(), 0);
    for (int i = 1; i < count; ++i) {
        const auto label = static_cast<std::size_t>(i);
        const double width = 2.0 * static_cast<double>(deepest[label]);
        const bool heavy = width > widest_cut;
        const bool bare = ring_ground[label] < least_ground * ring[label];
        int high = stats.at<int>(i, cv::CC_STAT_HEIGHT);
        int wide = stats.at<int>(i, cv::CC_STAT_WIDTH);
        if (line.quarter_turns % 2 != 0) std::swap(high, wide);
        const bool rule = high < 0.35 * line.x_height_px && wide > 1.2 * line.x_height_px;
        art[label] = width > widest || rule || (heavy && (cut[label] != 0 || bare)) ? 1 : 0;
    }
    for (int y = 0; y < labels.rows; ++y) {
        for (int x = 0; x < labels.cols; ++x) {
            if (art[static_cast<std::size_t>(labels.at<int>(y, x))] != 0) {
                parts.at<std::uint8_t>(y, x) = 0;
            }
        }
    }
}

/// From which to which index the inner 96 % of the counts lie.
double extent(const std::vector<int>& counts) {
    double total = 0.0;
    for (const int n : counts) total += n;
    double before = 0.0;
    double first = -1.0;
    double last = 0.0;
    for (std::size_t i = 0; i < counts.size(); ++i) {
        before += counts[i];
        if (first < 0.0 && before >= tail * total) first = static_cast<double>(i);
        last = static_cast<double>(i);
        if (before >= (1.0 - tail) * total) break;
    }
    return last - first + 1.0;
}

double change(const std::vector<int>& was, const std::vector<int>& is) {
    const double before = extent(was);
    const double difference = std::abs(extent(is) - before);
    return difference <= 1.5 ? 0.0 : difference / before;  // a pixel and a half is no change
}

}  // namespace

std::optional<LineInProof> line_in_proof(const Image& source, const Image& proof,
                                         const TextLine& line) {
    const RectPx box = intersection(line.box_px, source.bounds());
    if (box.empty()) return std::nullopt;
    cv::Mat parts = parts_of(source, box, line);
    leave_out_art(parts, line);
    Codes letters;
    Codes around;
    for (int y = 0; y < box.height; ++y) {
        const auto* part = parts.ptr<std::uint8_t>(y);
        const std::uint8_t* code = proof.row(box.y + y) + box.x;
        for (int x = 0; x < box.width; ++x) {
            if (part[x] == 255) letters.add(code[x]);
            if (part[x] == 128) around.add(code[x]);
        }
    }
    if (letters.total < fewest || around.total < fewest) return std::nullopt;
    const int letter = letters.median();
    const int ground = around.median();

    std::vector<int> row_was(static_cast<std::size_t>(box.height));
    std::vector<int> row_is(row_was.size());
    std::vector<int> column_was(static_cast<std::size_t>(box.width));
    std::vector<int> column_is(column_was.size());
    for (int y = 0; y < box.height; ++y) {
        const auto* part = parts.ptr<std::uint8_t>(y);
        const std::uint8_t* code = proof.row(box.y + y) + box.x;
        for (int x = 0; x < box.width; ++x) {
            if (part[x] != 255) continue;
            const int there = std::abs(code[x] - letter) <= std::abs(code[x] - ground) ? 1 : 0;
            const auto row = static_cast<std::size_t>(y);
            const auto column = static_cast<std::size_t>(x);
            ++row_was[row];
            ++column_was[column];
            row_is[row] += there;
            column_is[column] += there;
        }
    }
    // Across turned lines the columns of the text are rows of the picture.
    const bool turned = line.quarter_turns % 2 != 0;
    const auto& along_was = turned ? row_was : column_was;
    const auto& along_is = turned ? row_is : column_is;
    int columns = 0;
    int found = 0;
    for (std::size_t i = 0; i < along_was.size(); ++i) {
        if (along_was[i] < 2) continue;
        ++columns;
        if (along_is[i] >= column_found * along_was[i]) ++found;
    }
    LineInProof result;
    result.contrast = color::contrast_ratio(color::linear(static_cast<std::uint8_t>(letter)),
                                            color::linear(static_cast<std::uint8_t>(ground)));
    result.found = columns > 0 ? static_cast<double>(found) / columns : 0.0;
    result.size_change = std::max(change(row_was, row_is), change(column_was, column_is));
    return result;
}

}  // namespace paleproof::survey
