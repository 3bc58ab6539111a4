// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/crop_marks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

#include "survey/edge_view.h"

namespace paleproof::survey {
namespace {

constexpr float paper = 235.0F;
constexpr float ink = 110.0F;
constexpr double apart = 2.0;  // px between the two ends of one cut line

/// Lengths in pixels for a picture of this size; a card with marks is some 90 mm high.
struct Scale {
    int reach, shortest, thickest;
    explicit Scale(const Image& image) {
        const double ppi = std::max(150.0, std::max(image.width(), image.height()) / 110.0 * 25.4);
        reach =
            std::min({static_cast<int>(20.0 / 25.4 * ppi), image.width() / 3, image.height() / 3});
        shortest = std::max(6, static_cast<int>(1.5 / 25.4 * ppi));
        thickest = std::max(2, static_cast<int>(1.2 / 25.4 * ppi));
    }
};

/// Where a dark line that starts near the side's outer end crosses the rows of `edge`: the middle
/// of the only run of dark pixels within `reach` of one end, at outer row `row`.
std::optional<double> only_dark_run(const EdgeView& edge, int row, bool far_end,
                                    const Scale& scale) {
    std::optional<double> found;
    int run = 0;
    for (int i = 0; i <= scale.reach; ++i) {
        const int x = far_end ? edge.length() - 1 - i : i;
        const float light = i < scale.reach ? edge.light(row, x) : 255.0F;
        if (light < ink) {
            ++run;
            continue;
        }
        if (run > 0) {
            if (found || run > scale.thickest) return std::nullopt;
            found = i - (run + 1) / 2.0;
            run = 0;
        }
    }
    return found;
}

/// A line perpendicular to the side, near one of its ends: its place along the side (from that
/// end, pixel middle) and the row at which it stops.
struct Mark {
    double place = 0.0;
    int end = 0;
};

std::optional<Mark> mark(const EdgeView& edge, bool far_end, const Scale& scale) {
    // Marks need not begin at the very edge of the picture.
    std::optional<Mark> best;
    double sum = 0.0;
    int count = 0;
    for (int row = 0; row < scale.reach; ++row) {
        const auto place = only_dark_run(edge, row, far_end, scale);
        const bool goes_on = place && (count == 0 || std::abs(*place - sum / count) <= 1.0);
        if (goes_on) {
            sum += *place;
            ++count;
            continue;
        }
        if (count >= scale.shortest) {
            best = Mark{sum / count, row};
            break;
        }
        count = 0;
        sum = 0.0;
    }
    return best;
}

/// Rows from the outside in until the side's middle part is no longer paper.
int paper_rows(const EdgeView& edge, int begin, int end, int most) {
    for (int row = 0; row < most; ++row) {
        int other = 0;
        for (int x = begin; x < end; ++x) other += edge.light(row, x) < paper ? 1 : 0;
        if (other * 20 > end - begin) return row;
    }
    return most;
}

}  // namespace

std::optional<CropMarks> crop_marks(const Image& image) {
    const Scale scale(image);
    if (scale.reach < 2 * scale.shortest) return std::nullopt;
    const RectPx all = image.bounds();
    constexpr std::array sides{Side::top, Side::right, Side::bottom, Side::left};
    std::array<std::array<Mark, 2>, 4> found;
    for (std::size_t s = 0; s < 4; ++s) {
        const EdgeView edge(image, all, sides[s]);
        for (std::size_t e = 0; e < 2; ++e) {
            const auto one = mark(edge, e == 1, scale);
            if (!one) return std::nullopt;
            found[s][e] = *one;
        }
    }
    // top and bottom hold the upright lines: [0] left, [1] right; left and right the level ones.
    const auto agree = [](const Mark& a, const Mark& b) {
        return std::abs(a.place - b.place) <= apart;
    };
    const auto& [top, right, bottom, left] = found;
    for (std::size_t e = 0; e < 2; ++e) {
        if (!agree(top[e], bottom[e]) || !agree(left[e], right[e])) return std::nullopt;
    }
    const auto cut = [](const Mark& a, const Mark& b) {
        // Pixel i covers i .. i + 1; a cut through its middle leaves the larger half to the card.
        return static_cast<int>(std::lround((a.place + b.place) / 2.0 + 0.5));
    };
    const int x0 = cut(top[0], bottom[0]);
    const int x1 = image.width() - cut(top[1], bottom[1]);
    const int y0 = cut(left[0], right[0]);
    const int y1 = image.height() - cut(left[1], right[1]);
    // A mark ends before it meets the card.
    if (top[0].end > y0 + 1 || left[0].end > x0 + 1 || x1 - x0 < image.width() / 3 ||
        y1 - y0 < image.height() / 3) {
        return std::nullopt;
    }
    CropMarks result;
    result.trim = {x0, y0, x1 - x0, y1 - y0};
    const auto art_begin = [&](Side side, int most) {
        const EdgeView edge(image, all, side);
        const bool level = side == Side::top || side == Side::bottom;
        const int begin = (level ? x0 : y0) + (level ? x1 - x0 : y1 - y0) / 10;
        const int end = (level ? x1 : y1) - (level ? x1 - x0 : y1 - y0) / 10;
        return paper_rows(edge, begin, end, most);
    };
    const int t = art_begin(Side::top, y0);
    const int r = art_begin(Side::right, image.width() - x1);
    const int b = art_begin(Side::bottom, image.height() - y1);
    const int l = art_begin(Side::left, x0);
    result.art = {l, t, image.width() - l - r, image.height() - t - b};
    return result;
}

}  // namespace paleproof::survey
