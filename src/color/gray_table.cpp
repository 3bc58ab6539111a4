// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/gray_table.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/error.h"

namespace paleproof::color {

const GrayTable::Ways& GrayTable::ways() {
    static const Ways table = [] {
        Ways result;
        for (int code = 0; code < 256; ++code) {
            const auto i = static_cast<std::size_t>(code);
            const auto part = static_cast<std::uint32_t>(code % node_step);
            const auto corner = [code](int red, int green, int blue) {
                const int node = code / node_step;
                return static_cast<std::uint32_t>(index(red * node, green * node, blue * node))
                       << 9U;
            };
            result.red[i] = corner(1, 0, 0) | part << 6U;
            result.green[i] = corner(0, 1, 0) | part << 3U;
            result.blue[i] = corner(0, 0, 1) | part;
        }
        constexpr std::array<int, 3> offsets{nodes * nodes, nodes, 1};
        for (int i = 0; i < 512; ++i) {
            std::array<std::pair<int, int>, 3> parts{
                {{i >> 6, offsets[0]}, {(i >> 3) & 7, offsets[1]}, {i & 7, offsets[2]}}};
            std::ranges::stable_sort(
                parts, [](const auto& x, const auto& y) { return x.first > y.first; });
            const auto whole = [](int number) { return static_cast<std::uint32_t>(number); };
            Cell& cell = result.cells[static_cast<std::size_t>(i)];
            cell.first = whole(parts[0].second);
            cell.second = whole(parts[0].second + parts[1].second);
            cell.weight = {whole(node_step - parts[0].first),
                           whole(parts[0].first - parts[1].first),
                           whole(parts[1].first - parts[2].first), whole(parts[2].first)};
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
                    static_cast<std::uint16_t>(std::lround(std::clamp(value, 0.0, 256.0) * one));
            }
        }
    }
}

std::optional<GrayTable> GrayTable::from_units(std::span<const std::uint16_t> units) {
    constexpr std::size_t count = static_cast<std::size_t>(nodes) * nodes * nodes;
    constexpr int most = 256 * one;
    if (units.size() != count || *std::ranges::max_element(units) > most) return std::nullopt;
    for (int i = 0; i < nodes; ++i) {
        if (units[index(i, i, i)] != i * node_step * one) return std::nullopt;
    }
    return GrayTable(units);
}

void GrayTable::map(const std::uint8_t* rgb, std::size_t pixels, std::uint8_t* gray) const {
    // Held here: a store of a byte might change what the members say.
    const Ways& ways = *ways_;
    const std::uint16_t* values = values_.data();
    for (std::size_t i = 0; i < pixels; ++i, rgb += 3) {
        gray[i] = gray_of(ways, values, rgb[0], rgb[1], rgb[2]);
    }
}

namespace {

double gray_code_of_light(double r, double g, double b) {
    const double light = 0.2126 * r + 0.7152 * g + 0.0722 * b;
    return 255.0 *
           (light <= 0.0031308 ? 12.92 * light : 1.055 * std::pow(light, 1.0 / 2.4) - 0.055);
}

}  // namespace

GrayTable::GrayTable()
    : GrayTable([light = [] {
          std::array<double, nodes> of_node{};
          for (int i = 0; i < nodes; ++i) {
              of_node[static_cast<std::size_t>(i)] = linear_of(i * node_step / 255.0);
          }
          return of_node;
      }()](double r, double g, double b) {
          const auto at = [&light](double code) {
              return light[static_cast<std::size_t>(code) / node_step];
          };
          return gray_code_of_light(at(r), at(g), at(b));
      }) {}

}  // namespace paleproof::color
