// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "color/srgb.h"

namespace paleproof::color {

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

    /// The table that units() was asked of. None unless there is a gray of at most 256 codes for
    /// each node, and each neutral one has its own code.
    [[nodiscard]] static std::optional<GrayTable> from_units(std::span<const std::uint16_t> units);

    /// Grays of the nodes, red slowest, `one` to a code: all that there is to say about a table.
    [[nodiscard]] std::span<const std::uint16_t> units() const { return values_; }

    [[nodiscard]] std::uint8_t operator()(std::uint8_t r, std::uint8_t g, std::uint8_t b) const {
        return gray_of(*ways_, values_.data(), r, g, b);
    }
    [[nodiscard]] std::uint8_t operator()(Rgb8 color) const {
        return (*this)(color.r, color.g, color.b);
    }

    /// The same for a row of pixels: three codes each in, one out.
    void map(const std::uint8_t* rgb, std::size_t pixels, std::uint8_t* gray) const;

    /// Value of a node in gray codes; r, g, b 0..32.
    [[nodiscard]] double node(int r, int g, int b) const {
        return static_cast<double>(values_[index(r, g, b)]) / one;
    }

    friend bool operator==(const GrayTable& x, const GrayTable& y) {
        return x.values_ == y.values_;
    }

  private:
    explicit GrayTable(std::span<const std::uint16_t> units)
        : values_(units.begin(), units.end()) {}

    static constexpr std::size_t index(int r, int g, int b) {
        const auto i = static_cast<std::size_t>(r), j = static_cast<std::size_t>(g);
        return (i * nodes + j) * nodes + static_cast<std::size_t>(b);
    }
    static constexpr int last_offset = (nodes + 1) * nodes + 1;
    /// The two nodes between the near corner and the far one, and the weights, which sum to 8.
    struct Cell {
        std::uint32_t first = 0, second = 0;
        std::array<std::uint32_t, 4> weight{};
    };
    /// How to find the nodes of a color: the sum of what its three channels have is the number of
    /// the near corner << 9 | the number of its place in the cell.
    struct Ways {
        std::array<std::uint32_t, 256> red{}, green{}, blue{};
        std::array<Cell, 512> cells{};
    };
    static const Ways& ways();

    static std::uint8_t gray_of(const Ways& ways, const std::uint16_t* values, std::uint8_t r,
                                std::uint8_t g, std::uint8_t b) {
        const std::uint32_t place = ways.red[r] + ways.green[g] + ways.blue[b];
        const Cell& cell = ways.cells[place & 511U];
        const std::uint16_t* node = values + (place >> 9U);
        const std::uint32_t sum = node[0] * cell.weight[0] + node[cell.first] * cell.weight[1] +
                                  node[cell.second] * cell.weight[2] +
                                  node[last_offset] * cell.weight[3];
        return static_cast<std::uint8_t>((sum + one * node_step / 2) >> 9U);
    }

    const Ways* ways_ = &ways();
    std::vector<std::uint16_t> values_;
};

}  // namespace paleproof::color
