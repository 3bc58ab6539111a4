// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/text_guard.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "color/srgb.h"

namespace paleproof::filters {
namespace {

constexpr double least_confidence = 0.5;
constexpr double least_contrast = 1.5;
constexpr int least_step = 12;         // codes between text and ground that can be told apart
constexpr double most_letter = 0.5;    // share of a line's box
constexpr double ground_until = 0.25;  // of the way from ground to text: still ground
constexpr double letter_from = 0.70;   // from here on the core of a letter

/// Place of each source code on the way from ground to text as a letter's strength, 0..255.
std::array<std::uint8_t, 256> letter_strength(int ground, int text) {
    std::array<std::uint8_t, 256> table{};
    for (int code = 0; code < 256; ++code) {
        const double way = static_cast<double>(code - ground) / (text - ground);
        const double s = std::clamp((way - ground_until) / (letter_from - ground_until), 0.0, 1.0);
        table[static_cast<std::size_t>(code)] =
            static_cast<std::uint8_t>(std::lround(255.0 * s * s * (3.0 - 2.0 * s)));
    }
    return table;
}

int gray_of(RgbCode color) { return color::gray_code(color[0], color[1], color[2]); }

/// What enters the field at one of the line's ends and runs through it from top to bottom is no
/// letter: a ribbon or the edge of a panel that the box reaches over.
void remove_what_runs_through(cv::Mat& letters) {
    cv::Mat labels;
    cv::Mat stats;
    cv::Mat centers;
    const int count =
        cv::connectedComponentsWithStats(letters > 96, labels, stats, centers, 8, CV_32S);
    std::vector<std::uint8_t> drop(static_cast<std::size_t>(count), 0);
    for (int i = 1; i < count; ++i) {
        const int left = stats.at<int>(i, cv::CC_STAT_LEFT);
        const bool at_end = left == 0 || left + stats.at<int>(i, cv::CC_STAT_WIDTH) == letters.cols;
        drop[static_cast<std::size_t>(i)] =
            at_end && stats.at<int>(i, cv::CC_STAT_HEIGHT) == letters.rows;
    }
    for (int y = 0; y < letters.rows; ++y) {
        const auto* label = labels.ptr<int>(y);
        auto* out = letters.ptr<std::uint8_t>(y);
        for (int x = 0; x < letters.cols; ++x) {
            if (drop[static_cast<std::size_t>(label[x])] != 0) out[x] = 0;
        }
    }
}

/// The letters of a line, 0..255, in the field `part` of the source; nothing outside of its box.
cv::Mat letters_of(const Image& source, RectPx part, const TextLine& line) {
    constexpr int around = 4;  // pixels past the box in which a letter must have come to its end
    const RectPx box =
        intersection({line.box_px.x - around, line.box_px.y - around,
                      line.box_px.width + 2 * around, line.box_px.height + 2 * around},
                     source.bounds());
    const auto strength = letter_strength(gray_of(line.ground_color), gray_of(line.text_color));
    cv::Mat in_box(box.height, box.width, CV_8UC1);
    for (int y = 0; y < box.height; ++y) {
        const std::uint8_t* in = source.row(box.y + y) + box.x;
        auto* out = in_box.ptr<std::uint8_t>(y);
        for (int x = 0; x < box.width; ++x) out[x] = strength[in[x]];
    }
    // Turned lines run down the page: through them is from left to right.
    const bool turned = line.quarter_turns % 2 != 0;
    if (turned) cv::transpose(in_box, in_box);
    remove_what_runs_through(in_box);
    if (turned) cv::transpose(in_box, in_box);
    cv::Mat letters = cv::Mat::zeros(part.height, part.width, CV_8UC1);
    const RectPx shown = intersection(box, part);
    in_box(cv::Rect(shown.x - box.x, shown.y - box.y, shown.width, shown.height))
        .copyTo(letters(cv::Rect(shown.x - part.x, shown.y - part.y, shown.width, shown.height)));
    return letters;
}

/// Takes the ground around a line's letters to paper, softly.
void set_halo(const Image& source, Image& proof, const TextLine& line, const TextGuard& p) {
    const int reach = std::max(2, static_cast<int>(std::lround(p.halo * line.x_height_px)));
    const RectPx box = intersection(
        {line.box_px.x - 2, line.box_px.y - 2, line.box_px.width + 4, line.box_px.height + 4},
        source.bounds());
    const RectPx part = intersection(
        {box.x - 2 * reach, box.y - 2 * reach, box.width + 4 * reach, box.height + 4 * reach},
        source.bounds());
    const cv::Mat letters = letters_of(source, part, line);
    cv::Mat halo;
    cv::dilate(letters, halo,
               cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * reach + 1, 2 * reach + 1}));
    cv::blur(halo, halo, {reach | 1, reach | 1}, {-1, -1}, cv::BORDER_REPLICATE);
    for (int y = 0; y < part.height; ++y) {
        std::uint8_t* out = proof.row(part.y + y) + part.x;
        const auto* around = halo.ptr<std::uint8_t>(y);
        for (int x = 0; x < part.width; ++x) {
            out[x] = static_cast<std::uint8_t>(out[x] + ((255 - out[x]) * around[x] + 127) / 255);
        }
    }
}

/// Sets the letters of a line over what is there.
void set_letters(const Image& source, Image& proof, const TextLine& line, double ink) {
    const RectPx box = intersection(line.box_px, source.bounds());
    if (box.empty()) return;
    const cv::Mat letters = letters_of(source, box, line);
    for (int y = 0; y < box.height; ++y) {
        std::uint8_t* out = proof.row(box.y + y) + box.x;
        const auto* letter = letters.ptr<std::uint8_t>(y);
        for (int x = 0; x < box.width; ++x) {
            const int inked = 255 - static_cast<int>(std::lround(ink * letter[x]));
            out[x] = static_cast<std::uint8_t>(std::min<int>(out[x], inked));
        }
    }
}

/// Letters are strokes: where more than half of a line's box would be letter, ground and text were
/// taken for each other, and the line is better left alone.
bool is_strokes(const Image& source, const TextLine& line) {
    const RectPx box = intersection(line.box_px, source.bounds());
    return !box.empty() && cv::mean(letters_of(source, box, line))[0] <= 255.0 * most_letter;
}

bool guarded(const Image& source, const TextLine& line) {
    return line.confidence >= least_confidence && line.contrast >= least_contrast &&
           std::abs(gray_of(line.text_color) - gray_of(line.ground_color)) >= least_step &&
           line.x_height_px > 0.0 && is_strokes(source, line);
}

}  // namespace

Image text_guard(const Image& source, const Image& proof, std::span<const TextLine> lines,
                 const TextGuard& p) {
    check_fields(p, text_guard_fields);
    if (source.encoding() == Encoding::srgb || proof.encoding() == Encoding::srgb ||
        source.size() != proof.size()) {
        throw Error(ErrorKind::format, "text_guard",
                    "expected two gray pictures of one size, the face and its proof");
    }
    std::vector<const TextLine*> taken;
    for (const TextLine& line : lines) {
        if (guarded(source, line)) taken.push_back(&line);
    }
    Image result = proof;
    // All halos first, then all letters: no halo reaches over a letter set before.
    for (const TextLine* line : taken) set_halo(source, result, *line, p);
    for (const TextLine* line : taken) set_letters(source, result, *line, p.ink);
    return result;
}

}  // namespace paleproof::filters
