// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/letters.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "color/srgb.h"
#include "core/patches.h"
#include "filters/letter_shape.h"
#include "filters/letter_tone.h"

namespace paleproof::filters {
namespace {

constexpr double least_confidence = 0.4;
// What is as likely art, and hardly stands out, would become black scraps in a meadow.
constexpr double doubtful = 0.5;
constexpr double least_of_doubtful = 2.0;
constexpr double least_contrast = 1.5;
/// What is fainter than that is cut when it is surely a line of text.
constexpr double faint_confidence = 0.55;
constexpr double faintest = 1.1;
constexpr double faintest_step = 5.0;
constexpr int least_step = 12;              // codes between text and ground that can be told apart
constexpr double most_with_strokes = 0.45;  // where art may come along: more is that art
/// Of strokes that stand out where they are: from which strength on they are whole, the least share
/// of a letter that is, and how far its color may be from the text's, of the step between text and
/// ground and in codes. Thin strokes are diluted by what lies around them.
constexpr int whole_stroke = 190;
constexpr double least_core = 0.2;
constexpr double most_off = 0.5;
constexpr double least_off = 40.0;

/// The parts of a mask of its own.
LabelledPatches labelled(const cv::Mat& mask) { return {mask.ptr(), mask.cols, mask.rows}; }

/// Whether a part has the text's color and not that of a gap between outlines, which stands out
/// from these half as much: its core counts, over which `tone` is nearly whole.
bool has_text_color(const Image& face, RectPx part, const TextLine& line, const cv::Mat& tone,
                    const LabelledPatches& labels, int label) {
    const Patches::Patch& box = labels.patch(label);
    const auto channels = static_cast<std::size_t>(face.channels());
    std::array<double, 3> sum{};
    int all = 0;
    int core = 0;
    for (int y = box.top; y < box.bottom; ++y) {
        const std::uint8_t* in = face.row(part.y + y) + static_cast<std::size_t>(part.x) * channels;
        const int* here = labels.row(y);
        for (int x = box.left; x < box.right; ++x) {
            if (here[x] != label) continue;
            ++all;
            if (tone.at<std::uint8_t>(y, x) < whole_stroke) continue;
            ++core;
            for (std::size_t c = 0; c < channels; ++c)
                sum[c] += in[static_cast<std::size_t>(x) * channels + c];
        }
    }
    if (core < least_core * all) return false;
    double distance2 = 0.0;
    for (std::size_t c = 0; c < channels; ++c) {
        const int text = channels == 3 ? line.text_color[c]
                                       : color::gray_code(line.text_color[0], line.text_color[1],
                                                          line.text_color[2]);
        const double d = sum[c] / core - text;
        distance2 += d * d;
    }
    const double most = std::max(least_off, most_off * tone_step(line, face.encoding()));
    return distance2 <= most * most;
}

/// Adds the strokes that stand out from the ground right around them.
void add_strokes(cv::Mat& strength, const Image& face, RectPx part, const TextLine& line,
                 double widest) {
    Image tone = stroke_tone(face, part, line, widest);
    const cv::Mat local(part.height, part.width, CV_8UC1, tone.bytes().data());
    // What is low is a scrap between the letters. A line of the art that crosses them stays: it can
    // be read through, a missing letter cannot.
    const LabelledPatches labels = labelled(local > ground_below);
    const int count = labels.count();
    const bool turned = line.quarter_turns % 2 != 0;
    std::vector<std::uint8_t> letter(static_cast<std::size_t>(count), 0);
    for (int i = 1; i < count; ++i) {
        const Patches::Patch& patch = labels.patch(i);
        const int high = turned ? patch.width() : patch.height();
        letter[static_cast<std::size_t>(i)] =
            high >= least_letter_height * line.x_height_px &&
                    has_text_color(face, part, line, local, labels, i)
                ? 1
                : 0;
    }
    for (int y = 0; y < strength.rows; ++y) {
        const auto* label = labels.row(y);
        const auto* in = local.ptr<std::uint8_t>(y);
        auto* out = strength.ptr<std::uint8_t>(y);
        for (int x = 0; x < strength.cols; ++x) {
            if (letter[static_cast<std::size_t>(label[x])] != 0) out[x] = std::max(out[x], in[x]);
        }
    }
}

/// Letters that hardly differ from their ground are cut as patiently as those that were lost once.
bool is_faint(const TextLine& line, double step) {
    return line.contrast < least_contrast || step < least_step;
}

bool can_be_told(const TextLine& line, double step) {
    if (line.confidence < least_confidence || line.x_height_px <= 0.0) return false;
    if (line.confidence < doubtful && line.contrast < least_of_doubtful) return false;
    return !is_faint(line, step) ||
           (line.kind == TextLine::Kind::line && line.confidence >= faint_confidence &&
            line.contrast >= faintest && step >= faintest_step);
}

}  // namespace

std::vector<Letters> letters(const Image& face, std::span<const TextLine> lines, LetterCut cut) {
    std::vector<Letters> result;
    for (const TextLine& line : lines) {
        const double step = tone_step(line, face.encoding());
        const bool faint = is_faint(line, step);
        const bool sure = cut == LetterCut::sure && !faint;
        const int around = room_around(line);
        const RectPx& b = line.box_px;
        const RectPx part =
            intersection({b.x - around, b.y - around, b.width + 2 * around, b.height + 2 * around},
                         face.bounds());
        if (part.empty() || step < 1.0 || (cut == LetterCut::sure && !can_be_told(line, step)))
            continue;
        // JPEG carries the colors of the art into small letters.
        Letters found{part, letter_tone(face, part, line, sure ? 1.0 : 2.0),
                      std::max(1.0, line.x_height_px), std::max(1.0, line.x_height_px)};
        cv::Mat strength(part.height, part.width, CV_8UC1, found.strength.bytes().data());
        const LetterShape shape = keep_letter_shapes(found.strength, line);
        if (!shape.fits && sure) continue;
        if (cut == LetterCut::local ||
            (cut == LetterCut::whole &&
             (!shape.all_enclosed || line.x_height_px < small_letter_px)))
            add_strokes(strength, face, part, line, widest_stroke(line));
        const double most = cut == LetterCut::sure ? most_of_line : most_with_strokes;
        if (cv::mean(strength)[0] <= 255.0 * most) result.push_back(std::move(found));
    }
    return result;
}

}  // namespace paleproof::filters
