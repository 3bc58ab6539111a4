// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/coverage.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <vector>

namespace paleproof::color {
namespace {

constexpr Ppi assumed_ppi{300.0};
constexpr Mm patch_size{1.0};
constexpr double peak_percentile = 0.999;

/// Where each of `count` nearly equal parts of a length begins, and where the last one ends.
std::vector<int> cuts(int start, int length, int count) {
    std::vector<int> result;
    for (int i = 0; i <= count; ++i) {
        result.push_back(start + static_cast<int>(static_cast<std::int64_t>(length) * i / count));
    }
    return result;
}

int patches_along(int length, double patch_px) {
    const double count = std::round(length / std::max(patch_px, 1.0));
    return std::clamp(static_cast<int>(count), 1, length);
}

}  // namespace

InkUse coverage(RectPx area, Ppi ppi, std::uint64_t unit, const InkOfRun& ink_of_run) {
    const double patch_px = pixels(patch_size, ppi.value > 0.0 ? ppi : assumed_ppi);
    const std::vector<int> columns = cuts(area.x, area.width, patches_along(area.width, patch_px));
    const std::vector<int> rows = cuts(area.y, area.height, patches_along(area.height, patch_px));
    const std::size_t across = columns.size() - 1, down = rows.size() - 1;

    InkSum sum{};
    std::vector<double> means;  // total coverage per patch, row by row
    means.reserve(across * down);
    std::vector<std::uint64_t> totals(across);
    for (std::size_t j = 0; j < down; ++j) {
        std::fill(totals.begin(), totals.end(), 0);
        for (int y = rows[j]; y < rows[j + 1]; ++y) {
            for (std::size_t i = 0; i < across; ++i) {
                const InkSum run = ink_of_run(columns[i], y, columns[i + 1] - columns[i]);
                for (std::size_t ink = 0; ink < sum.size(); ++ink) {
                    sum[ink] += run[ink];
                    totals[i] += run[ink];
                }
            }
        }
        for (std::size_t i = 0; i < across; ++i) {
            const double area_px = static_cast<double>(columns[i + 1] - columns[i]) *
                                   static_cast<double>(rows[j + 1] - rows[j]);
            means.push_back(static_cast<double>(totals[i]) / (area_px * static_cast<double>(unit)));
        }
    }

    std::vector<double> sorted = means;
    const auto rank =
        std::ceil(peak_percentile * static_cast<double>(sorted.size()));  // nearest rank, from 1
    const auto at = sorted.begin() + static_cast<std::ptrdiff_t>(rank) - 1;
    std::nth_element(sorted.begin(), at, sorted.end());
    const auto place =
        static_cast<std::size_t>(std::find(means.begin(), means.end(), *at) - means.begin());
    const std::size_t i = place % across, j = place / across;

    const double full = static_cast<double>(area.width) * static_cast<double>(area.height) *
                        static_cast<double>(unit);
    InkUse use;
    use.c = static_cast<double>(sum[0]) / full;
    use.m = static_cast<double>(sum[1]) / full;
    use.y = static_cast<double>(sum[2]) / full;
    use.k = static_cast<double>(sum[3]) / full;
    use.total =
        static_cast<double>(std::accumulate(sum.begin(), sum.end(), std::uint64_t{0})) / full;
    use.peak = *at;
    use.peak_box = {columns[i], rows[j], columns[i + 1] - columns[i], rows[j + 1] - rows[j]};
    return use;
}

}  // namespace paleproof::color
