// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/heights.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

#include "survey/text/letter_edges.h"

namespace paleproof::survey {
namespace {

// Round letters reach about 1 % of the x-height past each of its lines, as they stand among flat
// ones; the font's x-height is that of the flat ones.
constexpr double overshoot = 0.01;
constexpr double slim = 0.62;      // x-heights; the i of a serif font with its feet
constexpr double dot_gap = 0.55;   // x-heights between an i and its dot
constexpr double one_class = 1.2;  // heights of letters of one class differ by less
constexpr double dense = 0.06;     // overshoot, hinting and blur
// Brackets and slashes are little taller than figures and capitals and reach below the line.
constexpr double bracket = 1.3;

double mean_of(const std::vector<double>& rows, double from, double to) {
    const int first = std::max(0, static_cast<int>(std::lround(from)));
    const int last = std::min(static_cast<int>(rows.size()) - 1,
                              std::max(first + 1, static_cast<int>(std::lround(to))));
    if (last <= first) {
        return 0.0;
    }
    return std::accumulate(rows.begin() + first, rows.begin() + last, 0.0) / (last - first);
}

/// Where the profile crosses the middle between its level outside and its peak inside, near `near`.
/// `inward` = 1 when the letters lie below the edge, -1 when above. Row i covers [i, i + 1).
double crossing(const std::vector<double>& rows, double near, double height, int inward) {
    const int n = static_cast<int>(rows.size());
    const auto at = [&](int v) { return rows[static_cast<std::size_t>(std::clamp(v, 0, n - 1))]; };
    // The rows next to the edge on the inside; the strongest of them is the level there.
    const int start = static_cast<int>(std::floor(near - (inward < 0 ? 1 : 0)));
    const int depth = std::max(2, static_cast<int>(std::lround(0.24 * height)));
    int peak = start;
    for (int i = -1; i <= depth; ++i) {
        if (at(start + inward * i) > at(peak)) {
            peak = start + inward * i;
        }
    }
    // The level outside: past the blur of the edge, before the next line.
    const int gap = std::max(2, static_cast<int>(std::lround(0.16 * height)));
    const int span = std::max(2, static_cast<int>(std::lround(0.20 * height)));
    double outside = 0.0;
    for (int i = 0; i < span; ++i) {
        outside += at(start - inward * (gap + i)) / span;
    }
    const double half = (outside + at(peak)) / 2;
    int v = peak;
    for (int i = 0; i <= depth + gap + 1 && at(v - inward) > half; ++i) {
        v -= inward;
    }
    const double in = at(v), out = at(v - inward);
    const double part = in > out ? std::clamp((in - half) / (in - out), 0.0, 1.0) : 0.5;
    // Row centers at v + 0.5.
    return v + 0.5 - inward * part;
}

double median(std::vector<double> values) {
    const auto mid = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), mid, values.end());
    return *mid;
}

double quantile(std::vector<double> values, double share) {
    std::sort(values.begin(), values.end());
    const double at = share * static_cast<double>(values.size() - 1);
    const auto low = static_cast<std::size_t>(at);
    const double part = at - static_cast<double>(low);
    return values[low] + (low + 1 < values.size() ? part * (values[low + 1] - values[low]) : 0.0);
}

/// True when one dot stands over a slim letter, as over i and j. Two dots, dots over broad letters
/// and what hangs down from the line above do not count: capitals have such neighbors too.
bool has_dot(const Strokes& s, std::span<const Piece> pieces, double base, double x_height) {
    const auto over = [&](const Piece& dot, const Piece& letter) {
        const double sag = s.slope * (letter.x + letter.width / 2.0 - s.middle);
        const double middle = dot.x + dot.width / 2.0;
        return letter.full && letter.width < slim * x_height &&
               base + sag - letter.y < 1.15 * x_height + 1.0 && middle > letter.x - 1.0 &&
               middle < letter.right() + 1.0 + 0.25 * x_height &&
               letter.y - dot.bottom() < dot_gap * x_height;
    };
    return std::any_of(pieces.begin(), pieces.end(), [&](const Piece& dot) {
        const double sag = s.slope * (dot.x + dot.width / 2.0 - s.middle);
        if (dot.full || dot.area <= 2 || base - (dot.bottom() - sag) <= x_height) {
            return false;
        }
        return std::any_of(pieces.begin(), pieces.end(), [&](const Piece& letter) {
            return over(dot, letter) &&
                   std::none_of(pieces.begin(), pieces.end(), [&](const Piece& other) {
                       return !other.full && other.label != dot.label &&
                              other.bottom() < letter.y && over(other, letter);
                   });
        });
    });
}

/// Small letters on the line of capitals that was taken for the height of the small ones.
bool may_be_letter(const Strokes& s, const Piece& p) {
    const double height = s.base - s.top;
    const double base = s.base + s.slope * (p.x + p.width / 2.0 - s.middle);
    return p.height > 0.5 * height && p.width > 0.25 * height &&
           std::abs(p.bottom() - base) < 0.1 * height + 1.0;
}

/// The middle of the densest heights among those that may be small letters: from `low` to where
/// the capitals of no usual font begin. Of equally dense ones the lowest.
double usual_rise(std::vector<double> rises, double low) {
    std::sort(rises.begin(), rises.end());
    std::size_t most = 0;
    double best = low;
    for (auto first = rises.begin(); first != rises.end() && *first <= one_class * low; ++first) {
        const auto last =
            std::find_if(first, rises.end(), [&](double r) { return r > (1.0 + dense) * *first; });
        const auto count = static_cast<std::size_t>(last - first);
        if (*first >= 0.88 * low && count > most) {
            most = count;
            best = *(first + static_cast<std::ptrdiff_t>(count / 2));
        }
    }
    return best;
}

/// Heights from the edges of the single letters; nothing when too few letters stand alone.
///
/// Round letters reach past the lines that flat ones stand on, so a low part of a cluster is
/// taken where there are enough letters to have flat ones among them.
std::optional<Heights> heights_of_letters(const Strokes& s, std::span<const Piece> pieces) {
    const double rough = s.base - s.top;
    std::vector<Extent> edges;
    double alone = 0, all = 0;
    const Noise noise = noise_of(s, pieces);
    for (const Piece& p : pieces) {
        if (!p.full && !may_be_letter(s, p)) {
            continue;
        }
        all += p.width;
        if (p.width < 2.0 * rough) {
            edges.push_back(edges_of(s, p, noise.strongest_of(p.width)));
            alone += p.width;
        }
    }
    // A single piece that is no word: a figure, or two that touch.
    const std::size_t least = edges.size() == 1 && alone == all ? 1 : 2;
    if (edges.size() < least || alone < 0.4 * all) {
        return std::nullopt;
    }
    // Most letters stand on the base line; descenders reach below, nothing else stands above.
    std::vector<double> bottoms;
    for (const Extent& e : edges) {
        bottoms.push_back(e.bottom);
    }
    const double foot = quantile(bottoms, 0.4);
    std::vector<double> standing;
    for (const double b : bottoms) {
        if (std::abs(b - foot) < 0.14 * rough) {
            standing.push_back(b);
        }
    }
    if (standing.empty()) {
        return std::nullopt;
    }
    const double base = quantile(standing, standing.size() >= 6 ? 0.25 : 0.4);
    std::vector<double> rises;
    std::vector<bool> stands;
    for (const Extent& e : edges) {
        if (base - e.top > 0.4 * rough) {
            rises.push_back(base - e.top);
            stands.push_back(e.bottom - base < 0.18 * rough);
        }
    }
    if (rises.size() < least) {
        return std::nullopt;
    }
    const double low = quantile(rises, rises.size() >= 8 ? 0.15 : 0.0);
    const double usual = usual_rise(rises, low);
    std::vector<double> small, tall;
    for (std::size_t i = 0; i < rises.size(); ++i) {
        const double r = rises[i];
        if (r < 1.08 * usual && r > 0.9 * usual) {
            small.push_back(r);
        } else if (r < 2.1 * usual && r > usual && (stands[i] || r > bracket * usual)) {
            tall.push_back(r);
        }
    }
    if (small.empty()) {
        return std::nullopt;
    }
    Heights result;
    result.x = quantile(small, small.size() >= 6 ? 0.2 : 0.4);
    const auto below = std::count_if(edges.begin(), edges.end(), [&](const Extent& e) {
        const double rise = base - e.top;
        return e.bottom - base > 0.18 * result.x &&
               (rise < 1.12 * result.x || rise > bracket * result.x);
    });
    // The dot of an i tells small letters from capitals of the same height.
    const bool dotted = has_dot(s, pieces, base, result.x);
    result.capitals_only = tall.empty() && !dotted && 4 * below <= static_cast<int>(edges.size());
    if (result.capitals_only) {
        result.cap = result.x *= 1.0 - overshoot / 2;
    } else if (!tall.empty()) {
        result.cap = quantile(tall, 0.4);
        // A line of capitals with one low sign among them: the signs of the larger cluster count.
        if (small.size() * 5 < tall.size() && quantile(tall, 0.9) < 1.12 * quantile(tall, 0.1)) {
            result.x = result.cap;
            result.capitals_only = true;
        }
    }
    if (!result.capitals_only) {
        result.x *= 1.0 - overshoot;
    }
    result.rising = static_cast<int>(
        std::count_if(tall.begin(), tall.end(), [&](double r) { return r > 1.2 * result.x; }));
    result.hanging = static_cast<int>(below);
    return result;
}

}  // namespace

Profile profile_of(const Strokes& s, std::span<const Piece> pieces) {
    auto [x0, y0, x1, y1] = ends_of(s, pieces);
    // The mixed pixels of the edge lie outside of the mask: two more on each side.
    x0 = std::max(0, x0 - 2);
    y0 = std::max(0, y0 - 2);
    x1 = std::min(s.tone.width, x1 + 2);
    y1 = std::min(s.tone.height, y1 + 2);
    const int w = x1 - x0, h = y1 - y0;
    PlaneF cover(w, h);
    for (const Piece& p : pieces) {
        const int u0 = std::max(x0, p.x - 1), u1 = std::min(x1, p.right() + 1);
        const int v0 = std::max(y0, p.y - 1), v1 = std::min(y1, p.bottom() + 1);
        for (int v = v0; v < v1; ++v) {
            float* to = cover.row(v - y0);
            for (int u = u0; u < u1; ++u) {
                const int label = s.labels.at(u, v);
                if (label == p.label || label == 0) {
                    to[u - x0] = static_cast<float>(s.coverage(u, v));
                }
            }
        }
    }
    Profile result;
    result.rows.assign(static_cast<std::size_t>(s.tone.height) + 1, 0.0);
    const bool level = std::abs(s.slope) * w < 0.4;
    for (int v = 0; v < h; ++v) {
        const float* row = cover.row(v);
        const float* next = cover.row(std::min(v + 1, h - 1));
        double sum = 0.0;
        for (int u = 0; u < w; ++u) {
            const double here = row[u];
            sum += here;
            const double right = row[std::min(u + 1, w - 1)] - here, down = next[u] - here;
            result.outline += std::sqrt(right * right + down * down);
            if (!level && here > 0.0) {
                const double flat = v + y0 - s.slope * (u + x0 - s.middle);
                const double low = std::floor(flat);
                const auto i = static_cast<std::ptrdiff_t>(low);
                if (i >= 0 && i < s.tone.height) {
                    result.rows[static_cast<std::size_t>(i)] += here * (1.0 - (flat - low));
                    result.rows[static_cast<std::size_t>(i) + 1] += here * (flat - low);
                }
            }
        }
        result.ink += sum;
        if (level) {
            result.rows[static_cast<std::size_t>(v + y0)] += sum;
        }
    }
    return result;
}

Heights heights_of(const Strokes& s, std::span<const Piece> pieces) {
    if (const auto letters = heights_of_letters(s, pieces)) {
        return *letters;
    }
    const std::vector<double> rows = profile_of(s, pieces).rows;
    const double rough = s.base - s.top;
    Heights result;
    const double top = crossing(rows, s.top, rough, 1);
    const double base = crossing(rows, s.base, rough, -1);
    result.x = std::max(1.0, base - top);
    const double body = mean_of(rows, top + 0.2 * result.x, base - 0.2 * result.x);
    const double above = mean_of(rows, top - 0.42 * result.x, top - 0.16 * result.x);
    const double below = mean_of(rows, base + 0.14 * result.x, base + 0.36 * result.x);
    // Without single letters: by ink, as if an ascender had a tenth of the band's.
    result.rising = static_cast<int>(10 * above / std::max(1.0, body));
    result.hanging = static_cast<int>(10 * below / std::max(1.0, body));
    result.capitals_only = above < 0.07 * body && below < 0.07 * body;
    if (result.capitals_only) {
        result.cap = result.x;
        return result;
    }
    std::vector<double> tall;
    for (const Piece& p : pieces) {
        const double sag = s.slope * (p.x + p.width / 2.0 - s.middle);
        const double rise = s.base + sag - p.y;
        if (p.full && rise > 1.18 * result.x && rise < 2.1 * result.x &&
            std::abs(p.bottom() - s.base - sag) < 0.25 * result.x) {
            tall.push_back(rise + base - s.base);
        }
    }
    if (!tall.empty()) {
        result.cap = median(std::move(tall));
    }
    return result;
}

}  // namespace paleproof::survey
