// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <vector>

namespace paleproof::color {

/// Four inks -> 8-bit sRGB by a table of 18 nodes an ink (every 15th code): tetrahedral
/// interpolation in c, m, y, linear in k, all in whole numbers.
class CmykTable {
  public:
    static constexpr std::size_t nodes = 18;

    /// Fills `colors` (three values 0..65535 each) for `inks` (four codes each, 0 = no ink).
    using Source =
        std::function<void(std::span<const std::uint8_t> inks, std::span<std::uint16_t> colors)>;
    explicit CmykTable(const Source& source);

    void convert(const std::uint8_t* cmyk, std::uint8_t* rgb, std::size_t pixels) const;

  private:
    static constexpr std::uint32_t step = 15;  // codes from node to node

    /// The tetrahedron of a place in a cell of c, m, y: weights in fifteenths, and which of the six
    /// ways from the first corner to the opposite one.
    struct Corners {
        std::array<std::uint8_t, 4> weight{};
        std::uint8_t way = 0;
    };
    // Three channels in 16-bit parts, each 0..4369: fifteen fifteenths fit 16 bits. The nodes of k
    // are neighbors in memory.
    std::vector<std::uint64_t> nodes_;
    std::vector<Corners> corners_;
    // Per ink and code: number of the node << 12 | part of the place in the cell.
    std::array<std::array<std::uint32_t, 256>, 3> place_{};
};

}  // namespace paleproof::color
