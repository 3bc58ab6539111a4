// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/line_ends.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "core/patches.h"
#include "survey/text/mat_view.h"
#include "survey/text/own_ink.h"

namespace paleproof::survey {
namespace {

// All in x-heights.
constexpr double word_space = 2.0;  // in widely spaced letters
constexpr double thickest_dash = 0.4, longest_dash = 2.9;
constexpr double largest_dot = 0.8;
constexpr double tallest_bar = 2.6, widest_bar = 1.2,
                 solid_bar = 0.45;  // slashes too; the last is width
constexpr double largest_plus = 1.5;
constexpr double most_filled = 0.55;  // of its box, of a plus or a slash
constexpr int most_signs = 3;         // a colon is two
constexpr double rows_above = 2.3, rows_below = 1.0;

constexpr double letter_top_least = 0.7, letter_top_most = 1.9;  // above the base line
constexpr double letter_foot = 0.3, letter_hanging = 0.8;        // above it and below
constexpr double beside_above = 1.5, beside_below = 0.4;
constexpr double widest_letter = 2.4;
constexpr double space_before_letter = 1.1, space_before_sign = 0.5;
constexpr double looked_at = 3.6;  // beyond an end at a time
constexpr int most_letters = 12;   // more is another line
constexpr double thickest = 1.6;   // strokes of the line

struct Sign {
    double width, height, middle;  ///< x-heights; of its middle above the base line
    double filled;                 ///< share of its box
};

/// Full stops, quotes, hyphens, bullets, a plus before a figure: what a line may begin or end with.
bool at_an_end(const Sign& s) {
    const bool dash =
        s.height <= thickest_dash && s.width <= longest_dash && s.middle > 0.1 && s.middle < 1.2;
    const bool dot =
        std::max(s.width, s.height) <= largest_dot && s.middle > -0.3 && s.middle < 1.4;
    const bool plus =
        std::max(s.width, s.height) <= largest_plus && s.filled < most_filled && s.middle > 0.2;
    return dash || dot || plus;
}

/// The same, and bars and slashes: at an end of a line they are more often parts of a frame.
bool parts_words(const Sign& s) {
    const bool slim = s.width <= solid_bar || (s.width <= widest_bar && s.filled < most_filled);
    return at_an_end(s) || (s.height <= tallest_bar && slim);
}

/// A stretch of the rows of a line, and where its ink lies there.
struct Stretch {
    RectPx part;  ///< in the frame of the line's quarter turns
    double base;  ///< row of the base line in it, at its middle
    double x;     ///< x-height
    Plane8 ink;
};

Stretch stretch_of(const Image& face, const MeasuredLine& line, int from, int to) {
    const Upright upright(line.line.quarter_turns);
    const double x = line.line.x_height_px;
    const double base = base_at(line, (from + to) / 2.0);
    const int top = static_cast<int>(std::floor(base - rows_above * x));
    const int bottom = static_cast<int>(std::ceil(base + rows_below * x));
    const RectPx part{from, top, to - from, bottom - top};
    return {part, base - top, x, own_ink(face, line.line, upright, part)};
}

Sign sign_of(const Stretch& in, const Patches::Patch& p) {
    return {p.width() / in.x, p.height() / in.x, (in.base - (p.top + p.bottom) / 2.0) / in.x,
            p.area / (static_cast<double>(p.width()) * p.height())};
}

/// A speck of noise has next to no ink.
bool speck(const Stretch& in, const Patches::Patch& p) {
    return p.area < std::max(2.0, 0.01 * in.x * in.x);
}

/// What lies wholly above or below the rows of letters and their signs is no neighbor.
bool beside_letters(const Stretch& in, const Patches::Patch& p) {
    return in.base - p.bottom < beside_above * in.x && p.top - in.base < beside_below * in.x;
}

bool as_tall_as_a_letter(const Stretch& in, const Patches::Patch& p) {
    const double rise = (in.base - p.top) / in.x, foot = (in.base - p.bottom) / in.x;
    return rise >= letter_top_least && rise <= letter_top_most && foot <= letter_foot &&
           foot >= -letter_hanging && p.width() <= widest_letter * in.x;
}

/// Twice the deepest way into each patch: how thick its strokes are, in pixels.
std::vector<double> thickness(const Stretch& in, const LabelledPatches& labels) {
    std::vector<double> result(static_cast<std::size_t>(labels.count()));
    cv::Mat deep;
    cv::distanceTransform(mat(in.ink), deep, cv::DIST_L2, 3);
    for (int v = 0; v < labels.height(); ++v) {
        for (int u = 0; u < labels.width(); ++u) {
            double& most = result[static_cast<std::size_t>(labels.at(u, v))];
            most = std::max(most, 2.0 * deep.at<float>(v, u));
        }
    }
    return result;
}

}  // namespace

bool signs_between(const Image& face, const MeasuredLine& a, const MeasuredLine& b) {
    const Upright upright(a.line.quarter_turns);
    RectPx first = upright.turned(a.line.box_px), second = upright.turned(b.line.box_px);
    if (first.x > second.x) std::swap(first, second);
    const MeasuredLine& longer = a.right - a.left < b.right - b.left ? b : a;
    const int from = first.right(), to = second.x;
    const double space = word_space * longer.line.x_height_px;
    if (to - from < 2 || to - from > 2 * space + longest_dash * longer.line.x_height_px) {
        return false;
    }
    const Stretch in = stretch_of(face, longer, from, to);
    std::vector<Patches::Patch> signs =
        patches_of(in.ink.data.data(), in.ink.width, in.ink.height).patches;
    std::erase_if(signs, [&](const Patches::Patch& p) { return speck(in, p); });
    if (signs.empty() || signs.size() > most_signs) return false;
    std::sort(signs.begin(), signs.end(), [](const auto& p, const auto& q) {
        return p.left < q.left || (p.left == q.left && p.top < q.top);
    });
    int at = 0;
    for (const Patches::Patch& p : signs) {
        const bool cut = p.top <= 0 || p.bottom >= in.ink.height;
        if (cut || p.left - at > space || !parts_words(sign_of(in, p))) return false;
        at = std::max(at, p.right);
    }
    return in.ink.width - at <= space;
}

void complete_ends(MeasuredLine& line, const Image& face) {
    const Upright upright(line.line.quarter_turns);
    const double x = line.line.x_height_px;
    if (x < 3.0 || line.line.kind == TextLine::Kind::mark) return;
    RectPx box = upright.turned(line.line.box_px);
    for (const bool right : {false, true}) {
        for (int taken = 0; taken < most_letters;) {
            const int reach = static_cast<int>(std::ceil(looked_at * x));
            const int end = right ? box.right() : box.x;
            const Stretch in = right ? stretch_of(face, line, end, end + reach)
                                     : stretch_of(face, line, end - reach, end);
            const LabelledPatches labels(in.ink.data.data(), in.ink.width, in.ink.height);
            const std::vector<double> thick = thickness(in, labels);
            int next = 0, nearest = reach;
            for (int i = 1; i < labels.count(); ++i) {
                const Patches::Patch& p = labels.patch(i);
                const int gap = right ? p.left : in.ink.width - p.right;
                if (!speck(in, p) && beside_letters(in, p) && gap < nearest) {
                    nearest = gap;
                    next = i;
                }
            }
            if (next == 0) break;
            const Patches::Patch& p = labels.patch(next);
            const bool going_on = p.top <= 0 || p.bottom >= in.ink.height ||
                                  (right ? p.right >= in.ink.width : p.left <= 0);
            const bool thin =
                thick[static_cast<std::size_t>(next)] <= thickest * line.line.stroke_px + 1.5;
            const bool letter = as_tall_as_a_letter(in, p) && nearest <= space_before_letter * x;
            const bool sign = at_an_end(sign_of(in, p)) && nearest <= space_before_sign * x;
            if (going_on || !thin || (!letter && !sign)) break;
            const int far = right ? in.part.x + p.right : in.part.x + p.left;
            const int top = std::min(box.y, in.part.y + p.top);
            const int bottom = std::max(box.bottom(), in.part.y + p.bottom);
            const int left = right ? box.x : far, past = right ? far : box.right();
            box = {left, top, past - left, bottom - top};
            line.line.box_px = upright.back(box);
            // Of a line that was turned over since, left and right are those of the way it was
            // seen.
            const int more = right ? far - end : end - far;
            if (right != line.upside_down) {
                line.right += more;
            } else {
                line.left -= more;
            }
            ++taken;
        }
    }
}

}  // namespace paleproof::survey
