// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/line_choice.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "filters/patches.h"

namespace paleproof::filters {
namespace {

constexpr double goes_on = 0.42;     // share of the rank at which a line starts
constexpr double short_worth = 0.3;  // of a line without length
constexpr int rounds = 6;
constexpr double well_filled = 0.97;  // of the room: no further search

struct Lines {
    Patches patches;
    std::vector<std::uint8_t> taken;  ///< by patch
    double pixels = 0.0;              ///< of the taken ones, in the area
};

/// Pixels of a run that lie in the area.
int counted(const Patches::Run& run, RectPx area) {
    if (area.empty()) return run.end - run.begin;
    if (run.y < area.y || run.y >= area.bottom()) return 0;
    return std::max(0, std::min(run.end, area.right()) - std::max(run.begin, area.x));
}

Lines lines_from(const Plane& rank, double lowest, const LineChoice& p) {
    const auto limit = static_cast<float>(lowest);
    std::vector<std::uint8_t> mask(rank.values.size());
    std::ranges::transform(rank.values, mask.begin(), [limit](float r) {
        return static_cast<std::uint8_t>(r > limit ? 255 : 0);
    });
    Lines lines;
    lines.patches = patches_of(mask.data(), rank.width, rank.height);
    const std::size_t count = lines.patches.patches.size();
    std::vector<float> best(count, 0.0F);
    std::vector<double> pixels(count, 0.0);
    for (const Patches::Run& run : lines.patches.runs) {
        const auto patch = static_cast<std::size_t>(run.patch);
        const float* row = rank.row(run.y);
        best[patch] = std::max(best[patch], *std::max_element(row + run.begin, row + run.end));
        pixels[patch] += counted(run, p.area);
    }
    lines.taken.assign(count, 0);
    for (std::size_t i = 0; i < count; ++i) {
        const Patches::Patch& patch = lines.patches.patches[i];
        const double length = std::hypot(patch.right - patch.left, patch.bottom - patch.top);
        const double share = p.full_length > 0.0 ? std::min(1.0, length / p.full_length) : 1.0;
        const double worth =
            static_cast<double>(best[i]) * (short_worth + (1.0 - short_worth) * share);
        if (length < p.shortest || worth * goes_on < lowest) continue;
        lines.taken[i] = 1;
        lines.pixels += pixels[i];
    }
    return lines;
}

/// The rank above which no more than `most` pixels lie, before any is left out: the lines from
/// there on certainly fit.
double certain_limit(const Plane& rank, const LineChoice& p) {
    constexpr std::size_t steps = 4096;
    const float top = *std::max_element(rank.values.begin(), rank.values.end());
    if (top <= 0.0F) return 0.0;
    std::array<double, steps> count{};
    const float to_step = static_cast<float>(steps - 1) / top;
    const RectPx area = p.area.empty() ? RectPx{0, 0, rank.width, rank.height} : p.area;
    for (int y = area.y; y < area.bottom(); ++y) {
        const float* row = rank.row(y);
        for (int x = area.x; x < area.right(); ++x) {
            if (row[x] > 0.0F) count[static_cast<std::size_t>(row[x] * to_step)] += 1.0;
        }
    }
    double sum = 0.0;
    std::size_t step = steps;
    while (step > 0 && sum + count[step - 1] <= p.most) sum += count[--step];
    return step == 0 ? 0.0 : static_cast<double>(step) / static_cast<double>(to_step);
}

}  // namespace

std::vector<std::uint8_t> line_choice(const Plane& rank, const LineChoice& p) {
    double fits = certain_limit(rank, p);
    Lines lines = lines_from(rank, fits, p);
    double too_low = 0.0;
    for (int round = 0; round < rounds && fits > 0.0; ++round) {
        if (lines.pixels >= well_filled * p.most) break;
        const double tried = 0.5 * (fits + std::max(too_low, round == 0 ? 0.2 * fits : 0.0));
        Lines more = lines_from(rank, tried, p);
        if (more.pixels > p.most) {
            too_low = tried;
        } else {
            fits = tried;
            lines = std::move(more);
        }
    }
    std::vector<std::uint8_t> result(rank.values.size(), 0);
    for (const Patches::Run& run : lines.patches.runs) {
        if (lines.taken[static_cast<std::size_t>(run.patch)] == 0) continue;
        const auto row = static_cast<std::ptrdiff_t>(run.y) * rank.width;
        std::fill(result.begin() + row + run.begin, result.begin() + row + run.end,
                  std::uint8_t{255});
    }
    return result;
}

}  // namespace paleproof::filters
