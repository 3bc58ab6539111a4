// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/heights.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numeric>
#include <optional>

#include "survey/text/surroundings.h"

namespace paleproof::survey {
namespace {

// Round letters reach about 1 % of the x-height past each of its lines, as they stand among flat
// ones; the font's x-height is that of the flat ones.
constexpr double overshoot = 0.01;
constexpr double most_noise = 0.15;  // mean coverage of a row that grain or compression leaves

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

/// Top and bottom edge of one piece, to a fraction of a pixel, with the slope of the line taken
/// out.
struct Extent {
    double top, bottom;
};

/// Coverage that compression and grain leave on the ground: 95 % of the pixels beside the letters,
/// two pixels off at least, have no more.
double noise_of(const Strokes& s, std::span<const Piece> pieces) {
    const double height = s.base - s.top;
    int x0 = s.tone.width, x1 = 0;
    for (const Piece& p : pieces) {
        x0 = std::min(x0, p.x);
        x1 = std::max(x1, p.right());
    }
    const int v0 = std::max(2, static_cast<int>(s.top - 0.8 * height));
    const int v1 = std::min(s.tone.height - 2, static_cast<int>(s.base + 0.8 * height));
    std::array<int, 256> counts{};
    int total = 0;
    for (int v = v0; v < v1; ++v) {
        const int *above = s.labels.row(v - 2), *label = s.labels.row(v),
                  *below = s.labels.row(v + 2);
        std::array<int, 256> row{};
        int free = 0, sum = 0;
        for (int u = std::max(2, x0); u < std::min(s.tone.width - 2, x1); ++u) {
            if ((label[u] | label[u - 1] | label[u + 1] | label[u - 2] | label[u + 2] | above[u] |
                 below[u] | above[u - 1] | above[u + 1] | below[u - 1] | below[u + 1]) == 0) {
                const int code = static_cast<int>(255 * s.coverage(u, v));
                ++row[static_cast<std::size_t>(code)];
                sum += code;
                ++free;
            }
        }
        // A rule or the edge of a panel along the line is no noise.
        if (sum > most_noise * 255 * free) continue;
        std::transform(row.begin(), row.end(), counts.begin(), counts.begin(), std::plus<>());
        total += free;
    }
    return total < 40 ? 0.0 : std::min(0.5, code_at(counts, total, 0.95) / 255.0);
}

/// The rows in which the strongest pixel leaves the full ink, by how much ink they still have:
/// exact for edges that were averaged over pixels, and for even blur.
Extent edges_of(const Strokes& s, const Piece& piece, double noise) {
    const auto strongest = [&](int v) {
        if (v < 0 || v >= s.tone.height) {
            return 0.0;
        }
        double most = 0.0;
        for (int u = piece.x; u < piece.right(); ++u) {
            const int label = s.labels.at(u, v);
            if (label == piece.label || label == 0) {
                most = std::max(most, s.coverage(u, v));
            }
        }
        return std::max(0.0, most - noise) / (1.0 - noise);
    };
    const auto edge = [&](int first, int inward) {
        const int reach = std::max(3, piece.height / 4);
        double peak = 0.0;
        for (int i = 0; i < reach; ++i) {
            peak = std::max(peak, strongest(first + inward * i));
        }
        int full = first;
        while (std::abs(full - first) < reach && strongest(full) < 0.85 * peak) {
            full += inward;
        }
        // Two rows further in, where the ink is full: what is missing on the way counts as well.
        full += 2 * inward;
        double ink = 0.0;
        for (int i = 1; i <= 6; ++i) {
            const double here = strongest(full - inward * i) / std::max(0.1, peak);
            if (i > 2 && here < 0.12) {
                break;
            }
            ink += std::clamp((here - 0.05) / 0.93, 0.0, 1.0);
        }
        return inward > 0 ? full - ink : full + 1 + ink;
    };
    const double sag = s.slope * (piece.x + piece.width / 2.0 - s.middle);
    return {edge(piece.y, 1) - sag, edge(piece.bottom() - 1, -1) - sag};
}

double quantile(std::vector<double> values, double share) {
    std::sort(values.begin(), values.end());
    const double at = share * static_cast<double>(values.size() - 1);
    const auto low = static_cast<std::size_t>(at);
    const double part = at - static_cast<double>(low);
    return values[low] + (low + 1 < values.size() ? part * (values[low + 1] - values[low]) : 0.0);
}

/// Heights from the edges of the single letters; nothing when too few letters stand alone.
///
/// Round letters reach past the lines that flat ones stand on, so a low part of a cluster is
/// taken where there are enough letters to have flat ones among them.
std::optional<Heights> heights_of_letters(const Strokes& s, std::span<const Piece> pieces) {
    const double rough = s.base - s.top;
    std::vector<Extent> edges;
    double alone = 0, all = 0;
    const double noise = noise_of(s, pieces);
    for (const Piece& p : pieces) {
        if (!p.full) {
            continue;
        }
        all += p.width;
        if (p.width < 2.0 * rough) {
            edges.push_back(edges_of(s, p, noise));
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
    for (const Extent& e : edges) {
        if (base - e.top > 0.4 * rough) {
            rises.push_back(base - e.top);
        }
    }
    if (rises.size() < least) {
        return std::nullopt;
    }
    const double low = quantile(rises, rises.size() >= 8 ? 0.15 : 0.0);
    std::vector<double> small, tall;
    for (const double r : rises) {
        if (r < 1.12 * low && r > 0.88 * low) {
            small.push_back(r);
        } else if (r < 2.1 * low && r > low) {
            tall.push_back(r);
        }
    }
    if (small.empty()) {
        return std::nullopt;
    }
    Heights result;
    result.x = quantile(small, small.size() >= 6 ? 0.2 : 0.4);
    const auto below = std::count_if(edges.begin(), edges.end(), [&](const Extent& e) {
        return e.bottom - base > 0.18 * result.x;
    });
    // The dot of an i tells small letters from capitals of the same height.
    const bool dotted = std::any_of(pieces.begin(), pieces.end(), [&](const Piece& p) {
        const double sag = s.slope * (p.x + p.width / 2.0 - s.middle);
        return !p.full && base - (p.bottom() - sag) > result.x && p.area > 2;
    });
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
    int x0 = s.tone.width, y0 = s.tone.height, x1 = 0, y1 = 0;
    for (const Piece& p : pieces) {
        x0 = std::min(x0, p.x);
        y0 = std::min(y0, p.y);
        x1 = std::max(x1, p.right());
        y1 = std::max(y1, p.bottom());
    }
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
