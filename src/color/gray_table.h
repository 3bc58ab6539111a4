// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

#include "color/srgb.h"

namespace paleproof::color {

/// Gray code, not rounded, of the same luminance as a color in codes; codes up to 256 are carried
/// on past white.
[[nodiscard]] double gray_code_of_lightness(double r, double g, double b);

/// One map from color to gray: 33 nodes a channel, every 8 codes, between them tetrahedral
/// interpolation in integers (kasson1995). A neutral is met on the diagonal of the table, so a
/// table whose diagonal nodes hold their own code leaves every gray as it is.
class GrayTable {
  public:
    static constexpr int nodes = 33;
    static constexpr int node_step = 8;  ///< codes
    static constexpr int one = 64;       ///< a gray code in units of the table

    /// Gray of the same lightness (CIE L*), to within 1 code.
    GrayTable();

    /// From the gray of each node, all in codes. The outermost nodes stand at 256, a code past
    /// white. Grays are cut to 0..256. Error{internal} unless finite.
    explicit GrayTable(const std::function<double(double r, double g, double b)>& gray);

    [[nodiscard]] std::uint8_t operator()(std::uint8_t r, std::uint8_t g, std::uint8_t b) const {
        const Cell& cell =
            cells_[static_cast<std::size_t>(((r & 7) << 6) | ((g & 7) << 3) | (b & 7))];
        const std::int16_t* node = values_.data() + index(r >> 3, g >> 3, b >> 3);
        const int sum = cell.weight[0] * node[0] + cell.weight[1] * node[cell.first] +
                        cell.weight[2] * node[cell.second] + cell.weight[3] * node[last_offset];
        return static_cast<std::uint8_t>((sum + one * node_step / 2) >> 9);
    }
    [[nodiscard]] std::uint8_t operator()(Rgb8 color) const {
        return (*this)(color.r, color.g, color.b);
    }

    /// Value of a node in gray codes; r, g, b 0..32.
    [[nodiscard]] double node(int r, int g, int b) const {
        return static_cast<double>(values_[index(r, g, b)]) / one;
    }

    friend bool operator==(const GrayTable& x, const GrayTable& y) {
        return x.values_ == y.values_;
    }

  private:
    static constexpr std::size_t index(int r, int g, int b) {
        return static_cast<std::size_t>((r * nodes + g) * nodes + b);
    }
    static constexpr int last_offset = (nodes + 1) * nodes + 1;
    /// The two nodes between the near corner and the far one, and the weights, which sum to 8.
    struct Cell {
        std::int16_t first = 0, second = 0;
        std::array<std::int16_t, 4> weight{};
    };
    static const std::array<Cell, 512>& cells();

    const Cell* cells_ = cells().data();
    std::vector<std::int16_t> values_;
};

}  // namespace paleproof::color
