// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/pattern.h"

#include <algorithm>

namespace paleproof::filters {
namespace {

constexpr int most_turns = 4;  // steps beyond those that lead straight inward

}  // namespace

std::optional<StripPlace> in_phase(StripPlace at, int length, int rows, const PatternSteps& steps) {
    const int straight = at.r < 0 ? (-at.r + steps.edge.inward - 1) / steps.edge.inward : 0;
    for (int round = 0; round < straight + most_turns; ++round) {
        if (at.r < 0) {
            at.x += steps.edge.along;
            at.r += steps.edge.inward;
        } else if (at.x < 0 && steps.first.inward > 0) {
            at.x += steps.first.inward;
            at.r += steps.first.along;
        } else if (at.x >= length && steps.last.inward > 0) {
            at.x -= steps.last.inward;
            at.r += steps.last.along;
        } else {
            break;
        }
    }
    if (at.r < 0 || at.r >= rows || at.x < 0 || at.x >= length) return std::nullopt;
    return at;
}

bool pattern(const EdgeStrip& inside, int rows, const PatternSteps& steps, EdgeStrip& result) {
    const Repeat& repeat = steps.edge;
    bool whole = true;
    result.reshape(inside.length, rows, inside.channels);
    for (int d = 1; d <= rows; ++d) {
        const int count = (d + repeat.inward - 1) / repeat.inward;
        const int row = std::min(count * repeat.inward - d, inside.rows - 1);
        float* out = result.row(d - 1);
        for (int x = 0; x < inside.length; ++x, out += inside.channels) {
            std::optional<StripPlace> from = StripPlace{row, x + count * repeat.along};
            if (from->x < 0 || from->x >= inside.length) {
                from = in_phase({-d, x}, inside.length, inside.rows, steps);
            }
            if (!from) {
                whole = false;
                std::fill_n(out, inside.channels, -1.0F);
                continue;
            }
            std::copy_n(
                inside.row(from->r) + static_cast<std::ptrdiff_t>(from->x) * inside.channels,
                inside.channels, out);
        }
    }
    return whole;
}

}  // namespace paleproof::filters
