// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/leveling.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace paleproof::survey {
namespace {

double median_of(std::vector<double> values) {
    const auto mid = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), mid, values.end());
    return *mid;
}

struct Slope {
    double slope = 0.0;
    double residual = 1e9;  ///< median distance of the points from the line
};

/// Line through most of the points: the median of the slopes between points half the line apart
/// (after Theil, 1950); what reaches past it does not pull it.
Slope slope_of(const std::vector<std::pair<double, double>>& points, double height) {
    Slope result;
    if (points.size() < 4 || points.back().first - points.front().first < 5 * height) {
        return result;
    }
    std::vector<double> slopes;
    const std::size_t half = points.size() / 2;
    for (std::size_t i = 0; i + half < points.size(); ++i) {
        const double dx = points[i + half].first - points[i].first;
        if (dx > height) {
            slopes.push_back((points[i + half].second - points[i].second) / dx);
        }
    }
    if (slopes.empty()) {
        return result;
    }
    result.slope = median_of(slopes);
    std::vector<double> offsets;
    for (const auto& [x, y] : points) {
        offsets.push_back(y - result.slope * x);
    }
    const double middle = median_of(offsets);
    for (double& offset : offsets) {
        offset = std::abs(offset - middle);
    }
    result.residual = median_of(offsets);
    return result;
}

}  // namespace

void level(Strokes& s, const std::vector<Piece>& full) {
    const double height = s.base - s.top;
    std::vector<std::pair<double, double>> feet, heads;
    for (const Piece& piece : full) {
        const double x = piece.x + piece.width / 2.0;
        const double sag = s.slope * (x - s.middle);
        if (std::abs(piece.bottom() - s.base - sag) < 0.35 * height) {
            feet.emplace_back(x, piece.bottom());
        }
        if (std::abs(piece.y - s.top - sag) < 0.35 * height) {
            heads.emplace_back(x, piece.y);
        }
    }
    const Slope by_feet = slope_of(feet, height), by_heads = slope_of(heads, height);
    const Slope& better = by_heads.residual < by_feet.residual ? by_heads : by_feet;
    if (better.residual < 0.2 * height && std::abs(better.slope) < 0.12) {
        s.slope = better.slope;
    }
}

void settle(Strokes& s, const std::vector<Piece>& full, int left, int right) {
    const double height = s.base - s.top;
    std::vector<double> rows(static_cast<std::size_t>(s.tone.height) + 1, 0.0);
    for (const Piece& piece : full) {
        const int u0 = std::max(piece.x, left), u1 = std::min(piece.right(), right);
        for (int v = piece.y; v < piece.bottom(); ++v) {
            const int* label = s.labels.row(v);
            for (int u = u0; u < u1; ++u) {
                if (label[u] == piece.label) {
                    const int flat = static_cast<int>(std::lround(v - s.slope * (u - s.middle)));
                    if (flat >= 0 && flat < s.tone.height) {
                        rows[static_cast<std::size_t>(flat)] += 1.0;
                    }
                }
            }
        }
    }
    const auto edge = [&](double near, bool rising) {
        const int first = std::max(1, static_cast<int>(std::lround(near - 0.45 * height)));
        const int last =
            std::min(s.tone.height - 1, static_cast<int>(std::lround(near + 0.45 * height)));
        double best = 0.0;
        int at = -1;
        for (int v = first; v <= last; ++v) {
            const auto i = static_cast<std::size_t>(v);
            double change = rows[i] - rows[i - 1];
            if (i + 1 < rows.size() && i >= 2) {
                change += 0.5 * (rows[i + 1] - rows[i] + rows[i - 1] - rows[i - 2]);
            }
            change = (rising ? change : -change) *
                     (1.0 - 0.7 * std::abs(v - near) / (0.45 * height + 1));
            if (change > best) {
                best = change;
                at = v;
            }
        }
        return at < 0 ? near : static_cast<double>(at);
    };
    const double top = edge(s.top, true), base = edge(s.base, false);
    if (base - top > 0.5 * height && base - top < 1.7 * height) {
        s.top = top;
        s.base = base;
    }
}

}  // namespace paleproof::survey
