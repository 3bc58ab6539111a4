// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/surroundings.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace paleproof::survey {
namespace {

/// Share of the outline of the pieces beyond which the ink's tone goes on although the local ground
/// says otherwise.
double leaking(const Strokes& s, const Plane8& mask) {
    const int limit = (s.typical + s.ink) / 2;
    int outline = 0, open = 0;
    for (const Piece& piece : s.pieces) {
        if (!piece.full) {
            continue;
        }
        for (int u = piece.x; u < piece.right(); ++u) {
            for (int v = piece.y - 1; v < piece.bottom(); ++v) {
                if (v < 2 || v + 3 >= s.tone.height) {
                    continue;
                }
                const bool here = s.labels.at(u, v) == piece.label;
                const bool next = s.labels.at(u, v + 1) == piece.label;
                if (here == next) {
                    continue;
                }
                const int beyond = here ? v + 3 : v - 2;
                ++outline;
                open += mask.at(u, beyond) == 0 && s.tone.at(u, beyond) < limit;
            }
        }
    }
    return outline == 0 ? 1.0 : static_cast<double>(open) / outline;
}

int typical_ground(const Strokes& s) {
    std::array<int, 256> grounds{};
    int count = 0;
    for (const Piece& p : s.pieces) {
        for (int v = p.y; v < p.bottom(); ++v) {
            const int* label = s.labels.row(v);
            const std::uint8_t* under = s.ground.row(v);
            for (int u = p.x; u < p.right(); ++u) {
                if (label[u] == p.label) {
                    ++grounds[under[u]];
                    ++count;
                }
            }
        }
    }
    return code_at(grounds, count);
}

}  // namespace

int code_at(const std::array<int, 256>& codes, int total, double share) {
    int code = 0;
    for (int seen = 0; code < 255; ++code) {
        seen += codes[static_cast<std::size_t>(code)];
        if (seen >= share * total) {
            break;
        }
    }
    return code;
}

void look_around(Strokes& s, const Plane8& mask) {
    s.typical = typical_ground(s);
    s.leak = leaking(s, mask);
    int x0 = s.tone.width, y0 = s.tone.height, x1 = 0, y1 = 0;
    for (const Piece& p : s.pieces) {
        x0 = std::min(x0, p.x);
        y0 = std::min(y0, p.y);
        x1 = std::max(x1, p.right());
        y1 = std::max(y1, p.bottom());
    }
    const int near = std::max(2, static_cast<int>(0.15 * (s.base - s.top)));
    const int far = std::max(4, static_cast<int>(0.7 * (s.base - s.top)));
    std::array<int, 256> around{}, within{};
    int total = 0, all = 0;
    for (int v = std::max(0, y0 - far); v < std::min(s.tone.height, y1 + far); ++v) {
        const std::uint8_t* tone = s.tone.row(v);
        const std::uint8_t* ink = mask.row(v);
        const auto count = [&](int from, int to) {
            for (int u = std::max(0, from); u < std::min(s.tone.width, to); ++u) {
                if (ink[u] == 0) {
                    ++around[tone[u]];
                    ++total;
                }
            }
        };
        if (v < y0 - near || v >= y1 + near) {
            count(x0 - far, x1 + far);
            continue;
        }
        count(x0 - far, x0 - near);
        count(x1 + near, x1 + far);
        if (v >= y0 && v < y1) {
            for (int u = x0; u < x1; ++u) {
                ++within[tone[u]];
            }
            all += x1 - x0;
        }
    }
    if (total < 20 || s.typical <= s.ink) {
        return;
    }
    const int tone = code_at(around, total);
    s.apart = std::clamp(static_cast<double>(tone - s.ink) / (s.typical - s.ink), 0.0, 1.5);
    const int spread = code_at(around, total, 0.9) - code_at(around, total, 0.1);
    const int beyond = code_at(within, all, 0.98) - tone;
    s.plain = std::abs(s.apart - 1.0) < 0.12 && spread <= std::max(6, s.depth / 6) &&
              beyond <= std::max(8, s.depth / 4) && s.leak < 0.1;
}

}  // namespace paleproof::survey
