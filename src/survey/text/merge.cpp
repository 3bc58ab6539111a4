// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/merge.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "survey/rgb_codes.h"
#include "survey/text/line_ends.h"
#include "survey/text/own_ink.h"

namespace paleproof::survey {
namespace {

constexpr double neighbors = 7.0;  // x-heights across, about two lines up and down
constexpr double reach = 1.35;     // x-heights between the words of one line

constexpr double most_apart_deg = 8.0;  // of lines whose rows can be compared

/// How far down, across the direction of `line`, its base line lies where `place` has its middle.
double base_under(const MeasuredLine& line, const MeasuredLine& place) {
    const RectPx& box = place.line.box_px;
    const Upright upright(line.line.quarter_turns);
    return base_at(line, upright.u(box.x + box.width / 2.0, box.y + box.height / 2.0));
}

double area(RectPx box) { return static_cast<double>(box.width) * box.height; }

/// Rows that the small letters of two lines that run one way have in common, over those of the
/// smaller line, where the shorter of both has its middle.
double rows_shared(const MeasuredLine& a, const MeasuredLine& b) {
    const MeasuredLine& shorter = a.right - a.left < b.right - b.left ? a : b;
    const MeasuredLine& longer = &shorter == &a ? b : a;
    const double own = base_under(shorter, shorter), other = base_under(longer, shorter);
    const double top = std::max(own - shorter.line.x_height_px, other - longer.line.x_height_px);
    const double least = std::max(1.0, std::min(a.line.x_height_px, b.line.x_height_px));
    return (std::min(own, other) - top) / least;
}

bool same_place(const MeasuredLine& a, const MeasuredLine& b) {
    const RectPx both = intersection(a.line.box_px, b.line.box_px);
    if (both.empty() || area(both) <= 0.55 * std::min(area(a.line.box_px), area(b.line.box_px))) {
        return false;
    }
    // The box of a large line reaches over a small one below it where its letters hang down; that
    // of a slanted line reaches over its neighbors.
    const bool one_way = a.line.quarter_turns == b.line.quarter_turns &&
                         std::abs(a.line.slant_deg - b.line.slant_deg) < most_apart_deg;
    return !one_way || rows_shared(a, b) > 0.3;
}

/// How far apart two lines that run one way are along themselves; less than 0 where they overlap.
/// The slant of a short piece is too uncertain to compare places along it: then boxes tell it.
double gap_between(const MeasuredLine& a, const MeasuredLine& b) {
    constexpr double same_slant_deg = 0.3;
    if (std::abs(a.line.slant_deg - b.line.slant_deg) < same_slant_deg) {
        return std::max(a.left, b.left) - std::min(a.right, b.right);
    }
    const Upright upright(a.line.quarter_turns);
    const RectPx p = upright.turned(a.line.box_px), q = upright.turned(b.line.box_px);
    return std::max(p.x, q.x) - std::min(p.right(), q.right());
}

bool one_line(const MeasuredLine& a, const MeasuredLine& b, const Image& face) {
    const TextLine& s = a.line;
    const TextLine& t = b.line;
    if (((s.quarter_turns ^ t.quarter_turns) & 1) != 0 || s.reversed != t.reversed ||
        std::abs(s.slant_deg - t.slant_deg) > 4.0) {
        return false;
    }
    const double height = std::max(s.x_height_px, t.x_height_px);
    // A run of capitals or digits beside mixed letters: compare the capitals.
    const bool mixed = s.capitals_only != t.capitals_only;
    const double p =
        mixed && s.cap_height_px > 0 && t.cap_height_px > 0 ? s.cap_height_px : s.x_height_px;
    const double q =
        mixed && s.cap_height_px > 0 && t.cap_height_px > 0 ? t.cap_height_px : t.x_height_px;
    if (std::min(p, q) < 0.78 * std::max(p, q)) {
        return false;
    }
    const MeasuredLine& shorter = a.right - a.left < b.right - b.left ? a : b;
    const MeasuredLine& longer = &shorter == &a ? b : a;
    // That a short piece slants otherwise is mostly an error, and one of its base line too.
    const double off = base_under(longer, shorter) - base_under(shorter, shorter);
    const double turned = std::min(1.0, std::abs(s.slant_deg - t.slant_deg));
    if (std::abs(off) > (0.28 + 0.16 * turned) * height ||
        apart(s.text_color, t.text_color) >= 70) {
        return false;
    }
    return gap_between(a, b) <= reach * height || signs_between(face, a, b);
}

void join(MeasuredLine& a, const MeasuredLine& b) {
    const double wa = a.right - a.left, wb = b.right - b.left;
    const MeasuredLine& longer = wa >= wb ? a : b;
    MeasuredLine result = longer;
    const RectPx p = a.line.box_px, q = b.line.box_px;
    RectPx& box = result.line.box_px;
    box.x = std::min(p.x, q.x);
    box.y = std::min(p.y, q.y);
    box.width = std::max(p.right(), q.right()) - box.x;
    box.height = std::max(p.bottom(), q.bottom()) - box.y;
    result.left = std::min(a.left, b.left);
    result.right = std::max(a.right, b.right);
    result.letters = a.letters + b.letters;
    result.rising = a.rising + b.rising;
    result.hanging = a.hanging + b.hanging;
    result.weight = std::max(a.weight, b.weight);
    result.line.confidence = std::max(a.line.confidence, b.line.confidence);
    result.line.contrast = std::min(a.line.contrast, b.line.contrast);
    result.line.paper_contrast = std::min(a.line.paper_contrast, b.line.paper_contrast);
    result.line.kind = TextLine::Kind::line;
    a = result;
}

/// What was taken for the base line is the top of the letters.
void turn_over(MeasuredLine& line) {
    const Upright upright(line.line.quarter_turns);
    const double u = upright.u(line.base_x, line.base_y);
    const double v = upright.v(line.base_x, line.base_y) -
                     (line.line.capitals_only ? line.line.cap_height_px : line.line.x_height_px);
    line.base_x = upright.x(u, v);
    line.base_y = upright.y(u, v);
    line.line.quarter_turns = (line.line.quarter_turns + 2) & 3;
    line.upside_down = true;
}

}  // namespace

std::vector<MeasuredLine> merged(std::vector<MeasuredLine> lines, const Image& face) {
    std::stable_sort(lines.begin(), lines.end(), [](const MeasuredLine& a, const MeasuredLine& b) {
        return a.weight > b.weight;
    });
    std::vector<MeasuredLine> kept;
    for (const MeasuredLine& line : lines) {
        const bool there = std::any_of(kept.begin(), kept.end(), [&](const MeasuredLine& other) {
            return same_place(line, other);
        });
        if (!there) {
            kept.push_back(line);
        }
    }
    for (bool changed = true; changed;) {
        changed = false;
        for (std::size_t i = 0; i < kept.size() && !changed; ++i) {
            for (std::size_t j = i + 1; j < kept.size() && !changed; ++j) {
                if (one_line(kept[i], kept[j], face)) {
                    join(kept[i], kept[j]);
                    kept.erase(kept.begin() + static_cast<std::ptrdiff_t>(j));
                    changed = true;
                }
            }
        }
    }
    return kept;
}

void turn_upright(std::vector<MeasuredLine>& lines) {
    std::vector<bool> over(lines.size(), false);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const MeasuredLine& a = lines[i];
        int rising = 0, hanging = 0;
        for (const MeasuredLine& b : lines) {
            const double across = std::abs(a.base - b.base);
            const double gap = std::max(a.left, b.left) - std::min(a.right, b.right);
            const double near = neighbors * std::max(a.line.x_height_px, b.line.x_height_px);
            if (((a.line.quarter_turns ^ b.line.quarter_turns) & 1) == 0 && across < near &&
                gap < 0) {
                rising += b.rising;
                hanging += b.hanging;
            }
        }
        over[i] = 2 * hanging > 3 * rising + 3;
    }
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (over[i]) turn_over(lines[i]);
    }
}

void tell_small_letters(std::vector<MeasuredLine>& lines, Ppi ppi) {
    constexpr int longest = 9;  // letters; longer words have one that rises or hangs
    constexpr double same_height = 0.06, same_stroke = 0.25;
    constexpr int same_color = 48;
    std::vector<std::size_t> small;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const MeasuredLine& a = lines[i];
        const double height = a.line.cap_height_px;
        if (!a.line.capitals_only || a.letters > longest || a.letters < 2) {
            continue;
        }
        const auto near = [&](const MeasuredLine& b, double heights_of_b) {
            return &b != &a && a.line.quarter_turns == b.line.quarter_turns &&
                   std::abs(a.base - b.base) < neighbors * height &&
                   std::abs(heights_of_b - height) < same_height * height &&
                   std::abs(a.line.stroke_px - b.line.stroke_px) < same_stroke * a.line.stroke_px &&
                   apart(a.line.text_color, b.line.text_color) < same_color;
        };
        const bool beside_small =
            std::any_of(lines.begin(), lines.end(), [&](const MeasuredLine& b) {
                return !b.line.capitals_only && b.rising > 1 && b.line.cap_height_px > 0.0 &&
                       near(b, b.line.x_height_px);
            });
        const bool beside_capitals =
            std::any_of(lines.begin(), lines.end(), [&](const MeasuredLine& b) {
                return b.line.capitals_only && b.letters > longest && near(b, b.line.cap_height_px);
            });
        if (beside_small && !beside_capitals) {
            small.push_back(i);
        }
    }
    for (const std::size_t i : small) {
        set_sizes(lines[i].line, lines[i].line.cap_height_px, 0.0, false, ppi);
    }
}

}  // namespace paleproof::survey
