// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/letter_edges.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "survey/text/surroundings.h"

namespace paleproof::survey {
namespace {

constexpr double most_noise = 0.15;  // mean coverage of a row, over that of a usual one

}  // namespace

double Noise::strongest_of(int width) const {
    const double share = std::max(0.95, 1.0 - 0.5 / std::max(1, width));
    return total < 40 ? 0.0 : std::min(0.5, code_at(counts, total, share) / 255.0);
}

Noise noise_of(const Strokes& s, std::span<const Piece> pieces) {
    const double height = s.base - s.top;
    int x0 = s.tone.width, x1 = 0;
    for (const Piece& p : pieces) {
        x0 = std::min(x0, p.x);
        x1 = std::max(x1, p.right());
    }
    const int v0 = std::max(2, static_cast<int>(s.top - 0.8 * height));
    const int v1 = std::min(s.tone.height - 2, static_cast<int>(s.base + 0.8 * height));
    struct Row {
        std::array<int, 256> counts{};
        int free = 0;
        double mean = 0.0;
    };
    std::vector<Row> rows;
    for (int v = v0; v < v1; ++v) {
        const int *above = s.labels.row(v - 2), *label = s.labels.row(v),
                  *below = s.labels.row(v + 2);
        Row row;
        int sum = 0;
        for (int u = std::max(2, x0); u < std::min(s.tone.width - 2, x1); ++u) {
            if ((label[u] | label[u - 1] | label[u + 1] | label[u - 2] | label[u + 2] | above[u] |
                 below[u] | above[u - 1] | above[u + 1] | below[u - 1] | below[u + 1]) == 0) {
                const int code = static_cast<int>(255 * s.coverage(u, v));
                ++row.counts[static_cast<std::size_t>(code)];
                sum += code;
                ++row.free;
            }
        }
        if (row.free > 0) {
            row.mean = sum / (255.0 * row.free);
            rows.push_back(row);
        }
    }
    if (rows.empty()) {
        return {};
    }
    const auto quarter = rows.begin() + static_cast<std::ptrdiff_t>(rows.size() / 4);
    std::nth_element(rows.begin(), quarter, rows.end(),
                     [](const Row& a, const Row& b) { return a.mean < b.mean; });
    const double usual = quarter->mean;
    Noise noise;
    for (const Row& row : rows) {
        // A rule or the edge of a panel along the line is no noise.
        if (row.mean > usual + most_noise) continue;
        std::transform(row.counts.begin(), row.counts.end(), noise.counts.begin(),
                       noise.counts.begin(), std::plus<>());
        noise.total += row.free;
    }
    return noise;
}

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

}  // namespace paleproof::survey
