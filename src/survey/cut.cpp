// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/cut.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <tuple>

namespace paleproof::survey {
namespace {

constexpr int directions = 16;
constexpr std::uint8_t paper_white = 250;
constexpr double least_border_mm = 0.05;

bool is_white(const Border& border) {
    return border.width_px > 0.0 &&
           std::ranges::all_of(border.color, [&](std::uint8_t c) { return c >= paper_white; });
}

double ratio(double a, double b) {
    const double narrow = std::max(std::min(a, b), least_border_mm);
    return std::max(1.0, std::max(a, b) / narrow);
}

CutEffect effect_of(const TrimPlacement& place, const Edges<Border>& borders,
                    std::span<const TextLine> text, Mm right, Mm down) {
    CutEffect effect;
    effect.right = right;
    effect.down = down;
    const auto white = [&](Mm past, Mm present, const Border& border) {
        const Mm bare = past - present;
        if (bare > effect.white && !is_white(border)) effect.white = bare;
    };
    const Edges<Mm>& present = place.bleed_present;
    white(Mm{0} - down, present.top, borders.top);
    white(right, present.right, borders.right);
    white(down, present.bottom, borders.bottom);
    white(Mm{0} - right, present.left, borders.left);

    const RectPx cut = moved_trim(place, effect);
    for (const TextLine& line : text) {
        if (intersection(line.box_px, cut) != line.box_px) ++effect.lost_lines;
    }

    const auto width = [&](const Border& border) {
        return from_pixels(1, place.ppi).value * border.width_px;
    };
    const auto compare = [&](const Border& a, const Border& b, double grows, bool level) {
        if (a.open || b.open || a.width_px <= 0.0 || b.width_px <= 0.0) return;
        const double uneven = ratio(width(a) - grows, width(b) + grows);
        if (uneven > effect.lopsided) {
            effect.lopsided = uneven;
            effect.lopsided_level = level;
        }
    };
    compare(borders.left, borders.right, right.value, true);
    compare(borders.top, borders.bottom, down.value, false);
    return effect;
}

auto gravity(const CutEffect& effect) {
    return std::tuple(effect.lost_lines, effect.white.value, effect.lopsided);
}

}  // namespace

bool worse(const CutEffect& a, const CutEffect& b) { return gravity(a) > gravity(b); }

RectPx moved_trim(const TrimPlacement& place, const CutEffect& effect) {
    RectPx area = place.trim_px;
    area.x += static_cast<int>(std::lround(pixels(effect.right, place.ppi)));
    area.y += static_cast<int>(std::lround(pixels(effect.down, place.ppi)));
    return area;
}

CutSurvey cut_survey(const TrimPlacement& place, const Edges<Border>& borders,
                     std::span<const TextLine> text, Mm wander) {
    CutSurvey result;
    result.even = effect_of(place, borders, text, Mm{0}, Mm{0});
    result.worst = result.even;
    for (int i = 0; i < directions && wander.value > 0.0; ++i) {
        const double angle = 2.0 * std::numbers::pi * i / directions;
        const CutEffect effect = effect_of(place, borders, text, Mm{wander.value * std::cos(angle)},
                                           Mm{wander.value * std::sin(angle)});
        if (worse(effect, result.worst)) result.worst = effect;
    }
    return result;
}

Image cut_out(const Image& image, RectPx area) {
    Image result(area.width, area.height, image.encoding(), image.ppi());
    const RectPx seen = intersection(area, image.bounds());
    if (seen.empty()) return result;
    for (int y = seen.y; y < seen.bottom(); ++y) {
        std::copy_n(image.row(y) + static_cast<std::ptrdiff_t>(seen.x) * image.channels(),
                    static_cast<std::ptrdiff_t>(seen.width) * image.channels(),
                    result.row(y - area.y) +
                        static_cast<std::ptrdiff_t>(seen.x - area.x) * image.channels());
    }
    return result;
}

}  // namespace paleproof::survey
