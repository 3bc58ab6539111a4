// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/letter_shape.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <utility>
#include <vector>

#include "core/columns.h"
#include "core/patches.h"

namespace paleproof::filters {
namespace {

/// Widest stroke of any letter: of the line's mean stroke (bold words stand in regular lines), and
/// of the x-height (the heaviest poster faces).
constexpr double widest_of_stroke = 2.4;
constexpr double widest_of_x_height = 0.3;
/// How far past a letter's edge the ground beside it begins, in x-heights: large letters have wider
/// rims where a picture was enlarged.
constexpr double past_edge_of_x_height = 0.06;
/// Where most of a line is letters that the ground encloses, on a panel or in outlines, the others
/// are enclosed as well: what is not, is art in the text's color.
constexpr double enclosed_from = 0.72;  // share of the ring around a part that is ground
constexpr double enclosed_line = 0.45;  // share of the line's length that such letters fill
constexpr double enclosed_least = 0.5;  // share of the ring of any letter there
constexpr float edge_depth = 1.5F;      // pixels from the ground: at the edge of a part
constexpr int core_from = 128;          // strength of the inside of a letter
/// Past the box, in which a letter must have come to its end: at least so many pixels, or
/// x-heights.
constexpr int least_around = 4;
constexpr double around_box = 0.3;
/// A part that is nowhere thicker than so many times the widest stroke, and has at least so many
/// times the square of its thickness as area, is strokes that meet, such as those of a k.
constexpr double joint = 1.5;
constexpr double stroke_like = 2.0;

/// Soft rim of the rule of a frame, in pixels.
constexpr int rule_rim = 1;

/// What a letter of a line can be, in pixels.
struct LetterSize {
    double x_height;
    double usual;         ///< stroke of most letters, at most
    double widest;        ///< stroke of any letter, at most
    double least_ground;  ///< share of the ring around it that is the line's ground
    int past_edge;        ///< from inside a letter to the ground beside it, past its soft rim
    int around;           ///< from the edge of the picture to the line's box

    /// Strokes that meet may be thicker where they do.
    [[nodiscard]] bool can_be_strokes(float deepest, int area) const {
        const double width = 2.0 * static_cast<double>(deepest);
        return width <= joint * widest && area >= stroke_like * width * width;
    }
};

LetterSize size_of(const TextLine& line) {
    const double x_height = line.x_height_px;
    return {
        .x_height = x_height,
        .usual = 1.6 * line.stroke_px + 1.0,
        .widest = widest_stroke(line),
        .least_ground = 0.2,
        .past_edge = std::max(2, static_cast<int>(std::lround(past_edge_of_x_height * x_height))),
        .around = room_around(line)};
}

/// A connected part that has the text's color.
struct Part {
    float deepest = 0.0F;  ///< half of its widest stroke
    int ring = 0;          ///< places just outside of it
    int ring_ground = 0;   ///< those of them that are ground
    bool letter = false;
};

/// The parts of a mask of its own.
LabelledPatches labelled(const cv::Mat& mask) { return {mask.ptr(), mask.cols, mask.rows}; }

/// 255 on the parts that are letters.
cv::Mat letters_of(const LabelledPatches& labels, const std::vector<Part>& parts) {
    cv::Mat result(labels.height(), labels.width(), CV_8UC1);
    for (int y = 0; y < labels.height(); ++y) {
        const auto* label = labels.row(y);
        auto* out = result.ptr<std::uint8_t>(y);
        for (int x = 0; x < labels.width(); ++x) {
            out[x] = parts[static_cast<std::size_t>(label[x])].letter ? 255 : 0;
        }
    }
    return result;
}

/// 255 on strokes of small letters that are too thin to show the text's full color anywhere: what
/// hangs together with a letter, and, where the ground encloses all, what is as tall as one.
cv::Mat thin_strokes(const cv::Mat& strength, const cv::Mat& letters, const LetterSize& limits,
                     bool all_enclosed) {
    cv::Mat thin = strength >= ground_below;
    const int side = static_cast<int>(std::ceil(limits.usual)) + 1;
    cv::Mat broad;
    cv::morphologyEx(thin, broad, cv::MORPH_OPEN,
                     cv::getStructuringElement(cv::MORPH_RECT, {side, side}));
    thin.setTo(0, broad & ~letters);
    const LabelledPatches labels = labelled(thin);
    std::vector<std::uint8_t> wanted(static_cast<std::size_t>(labels.count()), 0);
    for (int y = 0; y < labels.height(); ++y) {
        const auto* label = labels.row(y);
        const auto* letter = letters.ptr<std::uint8_t>(y);
        for (int x = 0; x < labels.width(); ++x) {
            if (letter[x] != 0) wanted[static_cast<std::size_t>(label[x])] = 1;
        }
    }
    for (int i = 1; i < labels.count(); ++i) {
        const Patches::Patch& patch = labels.patch(i);
        const bool goes_on = patch.top == 0 || patch.bottom == labels.height() || patch.left == 0 ||
                             patch.right == labels.width();
        if (all_enclosed && !goes_on && patch.height() >= 0.7 * limits.x_height)
            wanted[static_cast<std::size_t>(i)] = 1;
    }
    wanted[0] = 0;
    cv::Mat result(strength.size(), CV_8UC1);
    for (int y = 0; y < labels.height(); ++y) {
        const auto* label = labels.row(y);
        auto* out = result.ptr<std::uint8_t>(y);
        for (int x = 0; x < labels.width(); ++x)
            out[x] = wanted[static_cast<std::size_t>(label[x])] != 0 ? 255 : 0;
    }
    return result;
}

/// What is solid in the text's color, in parts, and how each lies in the ground.
struct Parts {
    cv::Mat solid;
    LabelledPatches labels;
    std::vector<Part> of;  ///< by label

    explicit Parts(const cv::Mat& strength, int past_edge)
        : solid(strength > core_from),
          labels(labelled(solid)),
          of(static_cast<std::size_t>(labels.count())) {
        cv::Mat depth;  // distance to the ground, at most half of the stroke
        cv::distanceTransform(solid, depth, cv::DIST_L2, 3);
        for (int y = 0; y < labels.height(); ++y) {
            const auto* label = labels.row(y);
            const auto* d = depth.ptr<float>(y);
            for (int x = 0; x < labels.width(); ++x) {
                Part& part = of[static_cast<std::size_t>(label[x])];
                part.deepest = std::max(part.deepest, d[x]);
                if (label[x] == 0 || d[x] > edge_depth) continue;
                look_around(part, strength, x, y, past_edge);
            }
        }
    }

    /// Whether most of the line is letters that the ground encloses.
    [[nodiscard]] bool all_enclosed(const LetterSize& limits) const {
        int enclosed = 0;
        for (int i = 1; i < labels.count(); ++i) {
            const Part& part = of[static_cast<std::size_t>(i)];
            if (part.ring_ground >= enclosed_from * part.ring &&
                labels.patch(i).height() >= 0.7 * limits.x_height) {
                enclosed += labels.patch(i).width();
            }
        }
        return enclosed >= enclosed_line * labels.width();
    }

  private:
    void look_around(Part& part, const cv::Mat& strength, int x, int y, int off) const {
        for (const auto& [dx, dy] : {std::pair{off, 0}, {-off, 0}, {0, off}, {0, -off}}) {
            const int u = x + dx;
            const int v = y + dy;
            if (u < 0 || v < 0 || u >= labels.width() || v >= labels.height()) continue;
            if (labels.at(u, v) == labels.at(x, y)) continue;
            ++part.ring;
            if (strength.at<std::uint8_t>(v, u) < ground_below) ++part.ring_ground;
        }
    }
};

/// Whether a part is a letter, or some of one.
bool is_letter(const Part& part, const Patches::Patch& patch, cv::Size line,
               const LetterSize& limits, bool all_enclosed) {
    const int height = patch.height();
    const bool at_end = patch.left == 0 || patch.right == line.width;
    const bool goes_on = patch.top == 0 || patch.bottom == line.height;
    const float width = 2.0F * part.deepest;
    // A letter may touch a line of the art; a scrap of an emblem is low or heavy.
    const bool scrap = goes_on && (height < 0.75 * limits.x_height || width > limits.usual);
    const bool rule = patch.width() <= 1.5 * limits.usual;
    const bool through = height == line.height && (at_end || rule);
    // Beside the line's box and going on: the edge of a panel or of a card.
    const bool beside = (at_end || goes_on) &&
                        (patch.right <= limits.around || patch.left >= line.width - limits.around ||
                         patch.bottom <= limits.around || patch.top >= line.height - limits.around);
    // A thin outline in a small picture is no wider than the rim of a letter.
    const double least_of_letter =
        limits.x_height < small_letter_px ? 0.5 * enclosed_least : enclosed_least;
    // Thin strokes may cross what they like; a leaf beside an outlined letter is heavy.
    const bool bare =
        (width > limits.usual && part.ring_ground < limits.least_ground * part.ring) ||
        (all_enclosed && (goes_on || height < 0.7 * limits.x_height) &&
         part.ring_ground < least_of_letter * part.ring);
    return !scrap && !through && !beside && !bare &&
           (width <= limits.widest || limits.can_be_strokes(part.deepest, patch.area));
}

/// Takes away what is no letter: parts that go on above or below the line, such as a ribbon or the
/// lower half of an emblem, and parts thicker than `widest` pixels anywhere. True when most of the
/// line is letters that the ground encloses.
bool keep_letters(cv::Mat& strength, const LetterSize& limits) {
    Parts parts(strength, limits.past_edge);
    const bool all_enclosed = parts.all_enclosed(limits);
    for (int i = 1; i < parts.labels.count(); ++i) {
        Part& part = parts.of[static_cast<std::size_t>(i)];
        part.letter = is_letter(part, parts.labels.patch(i), strength.size(), limits, all_enclosed);
    }
    const cv::Mat kept = letters_of(parts.labels, parts.of);
    // Soft rims and hair lines belong to the cores beside them; half tones elsewhere are art.
    const int reach = std::max(2, static_cast<int>(std::lround(0.15 * limits.x_height)));
    cv::Mat near;
    cv::dilate(kept, near,
               cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * reach + 1, 2 * reach + 1}));
    cv::Mat others = parts.solid & ~kept;
    if (limits.x_height < small_letter_px) {
        const cv::Mat thin = thin_strokes(strength, kept, limits, all_enclosed);
        near |= thin;
        others.setTo(0, thin);
    }
    // The rims of what is no letter go with it, but for a pixel beside letters.
    cv::Mat beside;
    cv::dilate(kept, beside, cv::getStructuringElement(cv::MORPH_RECT, {3, 3}));
    cv::dilate(others, others, cv::getStructuringElement(cv::MORPH_ELLIPSE, {5, 5}));
    strength.setTo(0, ~near | (others & ~beside));
    return all_enclosed;
}

/// Cuts the glyphs of a count free of the upright rule of a frame that they touch: no glyph runs
/// through from above the line to below it. A rule that crosses the line between letters is one of
/// theirs: a bar, or a part of the art, which the next steps tell.
void cut_rules_at_ends(cv::Mat& strength, const LetterSize& limits) {
    const std::vector<std::uint8_t> least =
        least_of_columns(strength.ptr(), strength.cols, strength.rows);
    const auto through = [&](int x) { return least[static_cast<std::size_t>(x)] > core_from; };
    const int reach = 2 * limits.around;
    // What fills more than that is the ground beyond an outline, in which letters may stand.
    if (strength.cols <= 2 * reach) return;
    const auto clear = [&](int from, int to) {
        from = std::max(0, from - rule_rim);
        to = std::min(strength.cols, to + rule_rim);
        strength.colRange(from, to).setTo(0);
    };
    int to = 0;
    for (int x = 0; x < reach; ++x) to = through(x) ? x + 1 : to;
    if (to > 0 && !through(reach)) clear(0, to);
    int from = strength.cols;
    for (int x = strength.cols - 1; x >= strength.cols - reach; --x) from = through(x) ? x : from;
    if (from < strength.cols && !through(strength.cols - 1 - reach)) clear(from, strength.cols);
}

/// Takes the thick core out of parts that are thicker than a letter anywhere, so that letters that
/// touch a dark leaf are not lost with it. What is left of such a part counts when it is as tall
/// as a letter.
/// False when what is left fills more of the line than letters do.
bool remove_blots(cv::Mat& strength, const LetterSize& limits, double widest, bool only_going_on) {
    const int side = static_cast<int>(std::ceil(widest)) | 1;
    if (side >= std::min(strength.rows, strength.cols)) return true;
    const cv::Mat solid = strength > core_from;
    cv::Mat core;
    cv::morphologyEx(solid, core, cv::MORPH_OPEN,
                     cv::getStructuringElement(cv::MORPH_ELLIPSE, {side, side}));
    if (cv::countNonZero(core) == 0) return true;
    const cv::Rect line_box =
        cv::Rect(limits.around, limits.around, strength.cols - 2 * limits.around,
                 strength.rows - 2 * limits.around) &
        cv::Rect({0, 0}, strength.size());
    if (cv::countNonZero(solid(line_box) & ~core(line_box)) > most_of_line * line_box.area())
        return false;
    const LabelledPatches labels = labelled(solid);
    const int count = labels.count();
    cv::Mat depth;
    cv::distanceTransform(solid, depth, cv::DIST_L2, 3);
    std::vector<float> deepest(static_cast<std::size_t>(count), 0.0F);
    for (int y = 0; y < labels.height(); ++y) {
        for (int x = 0; x < labels.width(); ++x) {
            float& most = deepest[static_cast<std::size_t>(labels.at(x, y))];
            most = std::max(most, depth.at<float>(y, x));
        }
    }
    std::vector<std::uint8_t> spared(deepest.size(), 0);
    for (int i = 1; i < count; ++i) {
        const int top = labels.patch(i).top;
        const bool goes_on = top == 0 || top + labels.patch(i).height() == strength.rows;
        const auto label = static_cast<std::size_t>(i);
        spared[label] = !goes_on && (only_going_on ||
                                     limits.can_be_strokes(deepest[label], labels.patch(i).area))
                            ? 1
                            : 0;
    }
    std::vector<std::uint8_t> blotted(deepest.size(), 0);
    for (int y = 0; y < labels.height(); ++y) {
        for (int x = 0; x < labels.width(); ++x) {
            if (core.at<std::uint8_t>(y, x) == 0) continue;
            const auto label = static_cast<std::size_t>(labels.at(x, y));
            blotted[label] = spared[label] == 0 ? 1 : 0;
            if (spared[label] != 0) core.at<std::uint8_t>(y, x) = 0;
        }
    }
    const int rim = 2 * limits.past_edge + 1;
    cv::Mat grown;
    cv::dilate(core, grown, cv::getStructuringElement(cv::MORPH_ELLIPSE, {rim, rim}));
    cv::Mat rest = cv::Mat::zeros(strength.size(), CV_8UC1);
    for (int y = 0; y < labels.height(); ++y) {
        for (int x = 0; x < labels.width(); ++x) {
            const int label = labels.at(x, y);
            const bool of_blot = label != 0 && blotted[static_cast<std::size_t>(label)] != 0;
            if (of_blot && grown.at<std::uint8_t>(y, x) == 0) rest.at<std::uint8_t>(y, x) = 255;
        }
    }
    strength.setTo(0, grown);
    const Patches pieces = patches_of(rest.ptr(), rest.cols, rest.rows);
    clear_patches(pieces, strength.ptr(), strength.cols, [&](std::size_t i) {
        return pieces.patches[i].height() < least_letter_height * limits.x_height;
    });
    return true;
}

}  // namespace

double widest_stroke(const TextLine& line) {
    return std::max(widest_of_stroke * line.stroke_px, widest_of_x_height * line.x_height_px) + 1.0;
}

int room_around(const TextLine& line) {
    return std::max(least_around, static_cast<int>(std::lround(around_box * line.x_height_px)));
}

LetterShape keep_letter_shapes(Image& strength, const TextLine& line) {
    const LetterSize size = size_of(line);
    cv::Mat own(strength.height(), strength.width(), CV_8UC1, strength.bytes().data());
    // Turned lines run down the page: above and below them is left and right.
    const bool turned = line.quarter_turns % 2 != 0;
    cv::Mat upright = own;
    if (turned) cv::transpose(own, upright);
    if (line.kind == TextLine::Kind::mark) cut_rules_at_ends(upright, size);
    LetterShape shape;
    shape.fits = remove_blots(upright, size, size.widest, false);
    if (!shape.fits) {
        own.setTo(0);
        return shape;
    }
    // A letter that touches what goes on below the line is cut free of it.
    (void)remove_blots(upright, size, size.usual, true);
    shape.all_enclosed = keep_letters(upright, size);
    if (turned) cv::transpose(upright, own);
    return shape;
}

}  // namespace paleproof::filters
