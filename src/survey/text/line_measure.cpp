// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/line_measure.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "survey/text/code_vector.h"
#include "survey/text/contrast.h"
#include "survey/text/drop_shadow.h"
#include "survey/text/letters_alone.h"
#include "survey/text/own_ink.h"

namespace paleproof::survey {
namespace {

// Of 32 text fonts' own outlines: x-height 0.42 to 0.55 em, capitals 0.56 to 0.78 em, x-height over
// capitals 0.72 in the mean; the middle of a range is the geometric one (docs/findings.md).
constexpr double x_least = 0.40, x_most = 0.56, x_middle = 0.48;
constexpr double cap_least = 0.56, cap_most = 0.78, cap_middle = 0.66;
constexpr double ascender = 1.2;  // over the capitals, at most
// How well the heights themselves are measured: a share, and a part of a pixel.
constexpr double height_known = 0.03, height_known_px = 0.25;
constexpr double x_of_cap = 0.72;
// Of the way from ground to text, and beside it: what is drawn in a proof with the text's color
// (docs/filters.md#letter_tone).
constexpr double drawn_from = 0.6, drawn_off = 0.5;

/// About how many letters: pieces, or half of the runs of ink along a row.
int letters_in(const Strokes& s, std::span<const Piece> pieces) {
    int full = 0;
    for (const Piece& p : pieces) {
        if (!p.full) {
            continue;
        }
        const double height = s.base - s.top;
        int runs = 0;
        for (const double share : {0.3, 0.5, 0.7}) {
            const double sag = s.slope * (p.x + p.width / 2.0 - s.middle);
            const int v =
                std::clamp(static_cast<int>(s.top + sag + share * height), 0, s.tone.height - 1);
            bool before = false;
            for (int u = p.x; u < p.right(); ++u) {
                const bool here = s.labels.at(u, v) == p.label;
                runs += here && !before;
                before = here;
            }
        }
        // Two runs a letter in each of the three rows.
        full += p.width > 0.9 * height ? std::max(1, (runs + 3) / 6) : 1;
    }
    return full;
}

/// Whether a color lies far enough on the way from ground to text to be drawn with what has the
/// text's color.
bool looks_like(const RgbCode& color, const LineContrast& drawn) {
    const auto vector = [](const RgbCode& c) {
        return CodeVector{1.0 * c[0], 1.0 * c[1], 1.0 * c[2]};
    };
    const CodeVector ground = vector(drawn.ground);
    const CodeVector way = minus(vector(drawn.text), ground), own = minus(vector(color), ground);
    const double share = dot(own, way) / std::max(1.0, dot(way, way));
    const double off2 = dot(own, own) / std::max(1.0, dot(way, way)) - share * share;
    return share >= drawn_from && off2 <= drawn_off * drawn_off;
}

}  // namespace

double base_at(const MeasuredLine& line, double along) {
    const Upright upright(line.line.quarter_turns);
    const double slope = std::tan(line.line.slant_deg * std::numbers::pi / 180);
    return upright.v(line.base_x, line.base_y) +
           slope * (along - upright.u(line.base_x, line.base_y));
}

void set_sizes(TextLine& line, double x, double cap, bool capitals_only, Ppi ppi) {
    line.capitals_only = capitals_only;
    line.cap_height_px = cap;
    line.x_height_px = capitals_only ? x_of_cap * cap : x;
    line.x_height = from_pixels(line.x_height_px, ppi);
    line.cap_height = from_pixels(line.cap_height_px, ppi);
    const double x_pt = points(line.x_height), cap_pt = points(line.cap_height);
    if (capitals_only) {
        line.point_size = cap_pt / cap_middle;
        line.point_size_low = cap_pt / cap_most;
        line.point_size_high = cap_pt / cap_least;
    } else {
        line.point_size = x_pt / x_middle;
        line.point_size_low = x_pt / x_most;
        line.point_size_high = x_pt / x_least;
        if (cap_pt > 0.0) {
            // Both must hold; capitals differ less between fonts and weigh more.
            line.point_size = (x_pt / x_middle + 2 * cap_pt / (1.04 * cap_middle)) / 3;
            line.point_size_low = std::max(line.point_size_low, cap_pt / (ascender * cap_most));
            line.point_size_high = std::min(line.point_size_high, cap_pt / cap_least);
            line.point_size_high = std::max(line.point_size_high, line.point_size_low);
            line.point_size =
                std::clamp(line.point_size, line.point_size_low, line.point_size_high);
        }
    }
    const double known = 1.0 + height_known + height_known_px / std::max(1.0, line.x_height_px);
    line.point_size_low /= known;
    line.point_size_high *= known;
}

MeasuredLine measured(const Strip& strip, const Strokes& inked, std::span<const Piece> run,
                      const Band& band, Ppi ppi, const PaperLuminance& paper) {
    MeasuredLine result;
    TextLine& line = result.line;
    std::optional<LettersAlone> alone;
    if (const auto shadow = drop_shadow(strip, inked, run)) {
        alone = without_shadow(strip, inked, run, *shadow);
    }
    const Strokes& s = alone ? alone->strokes : inked;
    const std::span<const Piece> pieces = alone ? alone->strokes.pieces : run;
    const Heights heights = heights_of(s, pieces);
    const Profile profile = profile_of(s, pieces);
    double stroke = 2.0 * profile.ink / std::max(1.0, profile.outline);
    LineContrast contrast =
        alone ? contrast_of(strip, alone->around, pieces, stroke, paper, alone->letter)
              : contrast_of(strip, s, pieces, stroke, paper);
    result.shadowed = alone.has_value();
    result.turned_over = alone && alone->strokes.light != inked.light;
    if (alone && !result.turned_over) {
        // What is drawn again in the proof is the ink with its shadow, its color and its strokes,
        // as long as the letters look like it. Else they would be left out and their shadow set.
        const Profile whole = profile_of(inked, run);
        const double of_both = 2.0 * whole.ink / std::max(1.0, whole.outline);
        const LineContrast ink = contrast_of(strip, inked, run, of_both, paper);
        if (looks_like(alone->letter, ink)) {
            stroke = of_both;
            contrast.text = ink.text;
            contrast.ground = ink.ground;
        } else {
            line.shadow_color = ink.text;
        }
    }

    set_sizes(line, heights.x / strip.scale_v, heights.cap / strip.scale_v, heights.capitals_only,
              ppi);
    line.stroke_px = stroke / strip.scale_v;
    line.reversed = s.light;
    line.text_color = contrast.text;
    line.ground_color = contrast.ground;
    line.contrast = contrast.screen;
    line.paper_contrast = contrast.paper;
    line.quarter_turns = strip.quarter_turns & 3;
    line.slant_deg = (strip.slant + std::atan(s.slope)) * 180.0 / std::numbers::pi;

    int x0 = s.tone.width, y0 = s.tone.height, x1 = 0, y1 = 0;
    const auto within = [&](const Piece& p) {
        x0 = std::min(x0, p.x);
        y0 = std::min(y0, p.y);
        x1 = std::max(x1, p.right());
        y1 = std::max(y1, p.bottom());
    };
    std::for_each(run.begin(), run.end(), within);
    if (alone) std::for_each(pieces.begin(), pieces.end(), within);
    double fx0 = 1e9, fy0 = 1e9, fx1 = -1e9, fy1 = -1e9;
    for (const int u : {x0, x1}) {
        for (const int v : {y0, y1}) {
            const double fx = strip.face_x(u, v), fy = strip.face_y(u, v);
            fx0 = std::min(fx0, fx);
            fx1 = std::max(fx1, fx);
            fy0 = std::min(fy0, fy);
            fy1 = std::max(fy1, fy);
        }
    }
    line.box_px.x = static_cast<int>(std::floor(fx0 + 1e-6));
    line.box_px.y = static_cast<int>(std::floor(fy0 + 1e-6));
    line.box_px.width = static_cast<int>(std::ceil(fx1 - 1e-6)) - line.box_px.x;
    line.box_px.height = static_cast<int>(std::ceil(fy1 - 1e-6)) - line.box_px.y;

    // Place along and across the line in face pixels, for joining: an axis-parallel frame is
    // enough.
    const double angle = strip.quarter_turns * std::numbers::pi / 2 + strip.slant;
    const double c = std::cos(angle), si = std::sin(angle);
    const auto along = [&](double u) {
        return strip.face_x(u, s.base) * c + strip.face_y(u, s.base) * si;
    };
    result.left = along(x0);
    result.right = along(x1);
    const double mid = (x0 + x1) / 2.0;
    const double row = s.base + s.slope * (mid - s.middle);
    result.base_x = strip.face_x(mid, row);
    result.base_y = strip.face_y(mid, row);
    result.base = -result.base_x * si + result.base_y * c;
    result.band = band;
    result.letters = letters_in(s, pieces);
    result.rising = heights.rising;
    result.hanging = heights.hanging;
    line.kind = result.letters < 2 || (band.mark && result.letters <= 3) ? TextLine::Kind::mark
                                                                         : TextLine::Kind::line;
    const double sure = 1.0 / (1.0 + std::exp(-0.9 * (band.strength - 1.0)));
    line.confidence = std::clamp(sure * (0.35 + 0.65 * inked.fit), 0.0, 1.0);
    result.weight = line.confidence * std::sqrt(std::max(1.0, result.right - result.left));
    return result;
}

}  // namespace paleproof::survey
