// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/gray_table.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/error.h"

namespace paleproof::color {

const std::array<GrayTable::Cell, 512>& GrayTable::cells() {
    static const std::array<Cell, 512> table = [] {
        std::array<Cell, 512> result{};
        constexpr std::array<int, 3> offsets{nodes * nodes, nodes, 1};
        for (int i = 0; i < 512; ++i) {
            std::array<std::pair<int, int>, 3> parts{
                {{i >> 6, offsets[0]}, {(i >> 3) & 7, offsets[1]}, {i & 7, offsets[2]}}};
            std::ranges::stable_sort(
                parts, [](const auto& x, const auto& y) { return x.first > y.first; });
            Cell& cell = result[static_cast<std::size_t>(i)];
            cell.first = static_cast<std::int16_t>(parts[0].second);
            cell.second = static_cast<std::int16_t>(parts[0].second + parts[1].second);
            cell.weight = {static_cast<std::int16_t>(node_step - parts[0].first),
                           static_cast<std::int16_t>(parts[0].first - parts[1].first),
                           static_cast<std::int16_t>(parts[1].first - parts[2].first),
                           static_cast<std::int16_t>(parts[2].first)};
        }
        return result;
    }();
    return table;
}

GrayTable::GrayTable(const std::function<double(double, double, double)>& gray)
    : values_(static_cast<std::size_t>(nodes) * nodes * nodes) {
    for (int r = 0; r < nodes; ++r) {
        for (int g = 0; g < nodes; ++g) {
            for (int b = 0; b < nodes; ++b) {
                const double value = gray(r * node_step, g * node_step, b * node_step);
                if (!std::isfinite(value)) {
                    throw Error(ErrorKind::internal, "gray table", "expected finite grays");
                }
                values_[index(r, g, b)] =
                    static_cast<std::int16_t>(std::lround(std::clamp(value, 0.0, 256.0) * one));
            }
        }
    }
}

double gray_code_of_lightness(double r, double g, double b) {
    const double light = 0.2126 * linear_of(r / 255.0) + 0.7152 * linear_of(g / 255.0) +
                         0.0722 * linear_of(b / 255.0);
    return 255.0 *
           (light <= 0.0031308 ? 12.92 * light : 1.055 * std::pow(light, 1.0 / 2.4) - 0.055);
}

GrayTable::GrayTable() : GrayTable(gray_code_of_lightness) {}

}  // namespace paleproof::color
