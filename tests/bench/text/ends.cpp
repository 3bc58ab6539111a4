// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "ends.h"

#include <algorithm>
#include <array>

namespace paleproof::bench {
namespace {

constexpr double covered_share = 2.0 / 3;  // of a glyph's width
constexpr int samples = 12;                // across a glyph
constexpr double own_share = 0.5;          // of the shorter of both, line and box
constexpr double most_beyond = 1.0;        // em

/// The point between base line and x-height at a share of the line's length.
std::array<double, 2> point_at(const TrueLine& line, double t) {
    const auto& q = line.band;
    const auto at = [&](std::size_t k) {
        return ((q[0][k] + q[3][k]) * (1 - t) + (q[1][k] + q[2][k]) * t) / 2;
    };
    return {at(0), at(1)};
}

bool within(const RectPx& box, const std::array<double, 2>& p) {
    return p[0] >= box.x && p[0] < box.right() && p[1] >= box.y && p[1] < box.bottom();
}

using Boxes = std::vector<RectPx>;

bool covered(const TrueLine& line, const TrueGlyph& glyph, const Boxes& boxes) {
    int hits = 0;
    for (int i = 0; i < samples; ++i) {
        const double t = glyph.begin + (glyph.end - glyph.begin) * (i + 0.5) / samples;
        const auto p = point_at(line, t);
        hits +=
            std::any_of(boxes.begin(), boxes.end(), [&](const RectPx& b) { return within(b, p); });
    }
    return hits >= covered_share * samples;
}

struct Bounds {
    double x0 = 1e9, y0 = 1e9, x1 = -1e9, y1 = -1e9;
};

Bounds bounds(const std::array<std::array<double, 2>, 4>& corners) {
    Bounds b;
    for (const auto& p : corners) {
        b.x0 = std::min(b.x0, p[0]);
        b.x1 = std::max(b.x1, p[0]);
        b.y0 = std::min(b.y0, p[1]);
        b.y1 = std::max(b.y1, p[1]);
    }
    return b;
}

/// Boxes that lie on the line's middle and share most of its length or of their own; others are
/// those of neighbors, whose boxes a slanted line crosses.
Boxes own_boxes(const TrueLine& line, const std::vector<TextLine>& found) {
    const Bounds ink = bounds(line.ink);
    const bool down = ink.y1 - ink.y0 > ink.x1 - ink.x0;
    Boxes result;
    for (const TextLine& f : found) {
        const RectPx& b = f.box_px;
        bool on_it = false;
        for (int i = 0; i < 8 * samples && !on_it; ++i) {
            on_it = within(b, point_at(line, (i + 0.5) / (8 * samples)));
        }
        const double begin = down ? b.y : b.x, end = down ? b.bottom() : b.right();
        const double first = down ? ink.y0 : ink.x0, last = down ? ink.y1 : ink.x1;
        const double both = std::min(end, last) - std::max(begin, first);
        if (on_it && both > own_share * std::min(end - begin, last - first)) result.push_back(b);
    }
    return result;
}

bool reaches_too_far(const TrueLine& line, const RectPx& box, double em_px) {
    const Bounds ink = bounds(line.ink);
    const double beyond =
        std::max({ink.x0 - box.x, ink.y0 - box.y, box.right() - ink.x1, box.bottom() - ink.y1});
    return beyond > most_beyond * em_px;
}

}  // namespace

std::string name(Reach reach) {
    switch (reach) {
        case Reach::whole:
            return "from end to end";
        case Reach::cut_short:
            return "cut short";
        case Reach::too_far:
            return "reaching too far";
        case Reach::in_pieces:
            return "in pieces";
    }
    return {};
}

Ends ends_of(const TrueLine& line, const std::vector<TextLine>& found, double em_px) {
    Ends result;
    const Boxes boxes = own_boxes(line, found);
    const TrueGlyph* first = nullptr;
    const TrueGlyph* last = nullptr;
    for (const TrueGlyph& glyph : line.glyphs) {
        const bool out = !covered(line, glyph, boxes);
        (glyph.letter ? result.letters : result.signs) += 1;
        (glyph.letter ? result.letters_outside : result.signs_outside) += out;
        if (glyph.letter) {
            first = first == nullptr ? &glyph : first;
            last = &glyph;
        }
    }
    if (first == nullptr) return result;
    const auto both_ends = [&](const Boxes& of) {
        return covered(line, *first, of) && covered(line, *last, of);
    };
    const auto best = std::find_if(boxes.begin(), boxes.end(),
                                   [&](const RectPx& box) { return both_ends({box}); });
    if (best != boxes.end()) {
        result.reach = reaches_too_far(line, *best, em_px) ? Reach::too_far : Reach::whole;
    } else {
        result.reach = both_ends(boxes) ? Reach::in_pieces : Reach::cut_short;
    }
    return result;
}

}  // namespace paleproof::bench
