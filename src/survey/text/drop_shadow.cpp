// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/drop_shadow.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "survey/text/median_color.h"

namespace paleproof::survey {
namespace {

constexpr double longest_run = 0.6;  // band heights
// Codes, and share of the way from ground to ink, between the colors at the ends of runs.
constexpr double least_step = 12.0, least_share = 0.08;
constexpr double same_change = 0.8;     // cosine between the changes along rows and columns
constexpr double least_outside = 20.0;  // codes, of what lies beside the runs
constexpr double mixing = 0.4;          // weight of a change toward the ground
constexpr int least_runs = 12;
constexpr double few_runs = 12.0;        // the doubt that as many runs leave doubles what is asked
constexpr double letters_outside = 2.0;  // times farther from the ground than the other side

struct Sum {
    CodeVector color{};
    int count = 0;
    void add(const std::uint8_t* rgb) {
        for (std::size_t c = 0; c < 3; ++c) color[c] += rgb[c];
        ++count;
    }
    [[nodiscard]] CodeVector mean() const {
        const double n = std::max(1, count);
        return {color[0] / n, color[1] / n, color[2] / n};
    }
};

/// Colors at the first and the last pixel of runs, a little inside of the edge.
struct Ends {
    Sum first, last;
    Sum before, after;  ///< beside the run, outside
    [[nodiscard]] CodeVector change() const { return minus(first.mean(), last.mean()); }
    [[nodiscard]] CodeVector change_outside() const { return minus(before.mean(), after.mean()); }
};

/// Both are strong and the same, but for the direction.
bool changes_alike(const CodeVector& a, const CodeVector& b, double least) {
    const double p = length(a), q = length(b);
    // Where the shadow lies more below than beside the letters, the rows show little of it.
    return std::sqrt(p * q) >= least && std::min(p, q) >= 0.5 * least &&
           std::abs(dot(a, b)) >= same_change * p * q;
}

struct Edges {
    Ends rows, columns;
};

/// A change of color, that toward the ground with less weight: the pixels at the two ends of thin
/// strokes may have ground in them by different shares.
CodeVector less_mixed(const CodeVector& change, const CodeVector& to_ground) {
    const double part = dot(change, to_ground) / std::max(1.0, dot(to_ground, to_ground));
    CodeVector result = change;
    for (std::size_t c = 0; c < 3; ++c) result[c] -= (1.0 - mixing) * part * to_ground[c];
    return result;
}

/// What lies beside a run: the color two pixels off, where nothing else has ink.
struct Outside {
    const Strip& strip;
    const Strokes& s;
    int off;
    void add(Sum& sum, int u, int v) const {
        if (u >= 0 && v >= 0 && u < s.tone.width && v < s.tone.height && s.labels.at(u, v) == 0) {
            sum.add(strip.rgb.row(v) + 3 * u);
        }
    }
};

Edges edges_of_runs(const Strip& strip, const Strokes& s, std::span<const Piece> pieces) {
    const int longest = std::max(3, static_cast<int>(longest_run * (s.base - s.top)));
    const int inside = std::max(1, static_cast<int>(std::lround(strip.scale_u)));
    const int off = 1 + inside;
    const Outside outside{strip, s, off};
    const auto at = [&](int u, int v) { return strip.rgb.row(v) + 3 * u; };
    Edges result;
    for (const Piece& p : pieces) {
        for (int v = p.y; v < p.bottom(); ++v) {
            const int* label = s.labels.row(v);
            for (int u = p.x; u < p.right();) {
                if (label[u] != p.label) {
                    ++u;
                    continue;
                }
                const int first = u;
                while (u < p.right() && label[u] == p.label) ++u;
                if (u - first > longest || u - first < 2) continue;
                const int in = std::min(inside, (u - first - 1) / 2);
                result.rows.first.add(at(first + in, v));
                result.rows.last.add(at(u - 1 - in, v));
                outside.add(result.rows.before, first - off, v);
                outside.add(result.rows.after, u - 1 + off, v);
            }
        }
        for (int u = p.x; u < p.right(); ++u) {
            for (int v = p.y; v < p.bottom();) {
                if (s.labels.at(u, v) != p.label) {
                    ++v;
                    continue;
                }
                const int first = v;
                while (v < p.bottom() && s.labels.at(u, v) == p.label) ++v;
                if (v - first > longest || v - first < 2) continue;
                const int in = std::min(inside, (v - first - 1) / 2);
                result.columns.first.add(at(u, first + in));
                result.columns.last.add(at(u, v - 1 - in));
                outside.add(result.columns.before, u, first - off);
                outside.add(result.columns.after, u, v - 1 + off);
            }
        }
    }
    return result;
}

/// The middle color of what has no ink around the pieces.
CodeVector ground_color(const Strip& strip, const Strokes& s, std::span<const Piece> pieces) {
    const int margin = std::max(4, static_cast<int>(0.7 * (s.base - s.top)));
    int x0 = s.tone.width, y0 = s.tone.height, x1 = 0, y1 = 0;
    for (const Piece& p : pieces) {
        x0 = std::min(x0, p.x - margin);
        y0 = std::min(y0, p.y - margin);
        x1 = std::max(x1, p.right() + margin);
        y1 = std::max(y1, p.bottom() + margin);
    }
    MedianColor color;
    for (int v = std::max(0, y0); v < std::min(s.tone.height, y1); ++v) {
        for (int u = std::max(0, x0); u < std::min(s.tone.width, x1); ++u) {
            if (s.labels.at(u, v) == 0) color.add(strip.rgb.row(v) + 3 * u);
        }
    }
    const RgbCode middle = color.value();
    return {static_cast<double>(middle[0]), static_cast<double>(middle[1]),
            static_cast<double>(middle[2])};
}

/// Rows of the face down for one step along the strip's u or v.
struct Down {
    int du, dv;  ///< which of both goes down on the face: one of them is 0
};

Down down_of(const Strip& strip) {
    const double by_u = strip.face_y(1, 0) - strip.face_y(0, 0);
    const double by_v = strip.face_y(0, 1) - strip.face_y(0, 0);
    if (std::abs(by_v) >= std::abs(by_u)) return {0, by_v > 0 ? 1 : -1};
    return {by_u > 0 ? 1 : -1, 0};
}

}  // namespace

std::optional<DropShadow> drop_shadow(const Strip& strip, const Strokes& s,
                                      std::span<const Piece> pieces) {
    const Edges edges = edges_of_runs(strip, s, pieces);
    if (edges.rows.first.count < least_runs || edges.columns.first.count < least_runs) {
        return std::nullopt;
    }
    const Down down = down_of(strip);
    // Light falls from above, as good as always: the shadow lies on the side that is down on the
    // face.
    const auto oriented = [&](DropShadow& shadow) {
        const int along = down.du != 0 ? down.du * shadow.du : down.dv * shadow.dv;
        if (along < 0) {
            shadow.du = -shadow.du;
            shadow.dv = -shadow.dv;
            std::swap(shadow.letter, shadow.shadow);
        }
    };
    DropShadow result;
    result.ground = ground_color(strip, s, pieces);
    const CodeVector across = edges.rows.change(), along = edges.columns.change();
    const CodeVector ink = edges.columns.first.mean();
    // The fewer the runs, the more their ends differ by chance.
    const double doubt =
        1.0 + few_runs / std::min(edges.rows.first.count, edges.columns.first.count);
    const double least =
        doubt * std::max(least_step, least_share * length(minus(result.ground, ink)));
    const CodeVector beside = edges.rows.change_outside(), over = edges.columns.change_outside();
    if (edges.rows.before.count >= least_runs && edges.rows.after.count >= least_runs &&
        edges.columns.before.count >= least_runs && edges.columns.after.count >= least_runs &&
        changes_alike(beside, over, std::max(least, least_outside))) {
        result.du = dot(beside, over) > 0 ? 1 : -1;
        result.dv = 1;
        // What differs from the ground on the upper side of the ink are the letters: the ink is
        // what shows of their shadow. On the lower side it is a weaker shadow of the ink.
        const CodeVector before = edges.columns.before.mean(), after = edges.columns.after.mean();
        result.letter = before;
        result.shadow = after;
        oriented(result);
        if (length(minus(result.letter, result.ground)) >
            letters_outside * length(minus(result.shadow, result.ground))) {
            result.shadow = ink;
            result.beside = true;
            return result;
        }
    }
    const CodeVector to_ground = minus(result.ground, ink);
    if (changes_alike(less_mixed(across, to_ground), less_mixed(along, to_ground), least)) {
        // The first end of both or the first of one and the last of the other have the same color.
        result.du = dot(across, along) > 0 ? 1 : -1;
        result.dv = 1;
        result.letter = edges.columns.first.mean();
        result.shadow = edges.columns.last.mean();
        oriented(result);
        return result;
    }
    return std::nullopt;
}

}  // namespace paleproof::survey
