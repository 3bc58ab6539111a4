// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <vector>

#include "color/srgb.h"

namespace paleproof::color {

/// Sums of ink in units of 1 / InkTable::unit; c, m, y, k.
using InkSum = std::array<std::uint64_t, 4>;

/// sRGB -> four inks by a table of 52 x 52 x 52 nodes and tetrahedral interpolation.
///
/// Nodes lie on every fifth code, so the place of a color between nodes is a count of fifths: all
/// weights are whole numbers and sums over an image are exact.
///
///     code   0    5    10  ...  250  255
///     node   0    1    2   ...  50   51
class InkTable {
  public:
    InkTable(const InkTable&) = delete;
    InkTable& operator=(const InkTable&) = delete;

    static constexpr std::size_t nodes = 52;
    static constexpr std::uint64_t unit = 65535;  ///< full ink of one pixel

    /// Fills `inks` (four values 0..65535 a color) for `colors` (three codes a color).
    using Source =
        std::function<void(std::span<const std::uint8_t> colors, std::span<std::uint16_t> inks)>;
    explicit InkTable(const Source& source);
    /// The table with these values(), which must outlive it.
    explicit InkTable(std::span<const std::uint64_t> values);

    /// The inks of all nodes in the form that the table works on.
    [[nodiscard]] std::span<const std::uint64_t> values() const { return values_; }

    /// Inks of `pixels` colors (three codes each), summed.
    [[nodiscard]] InkSum sum(const std::uint8_t* rgb, std::size_t pixels) const;

  private:
    /// How to reach the four corners of the tetrahedron from the cell's first node, and their
    /// weights in fifths; one entry for each of the 5 x 5 x 5 places in a cell.
    struct Corners {
        std::array<std::uint32_t, 3> offset{};  // of the second to fourth corner
        // Of the first two corners by turns, once for each ink, and of the last two.
        alignas(16) std::array<std::int16_t, 8> first{}, last{};
    };
    /// At most 65536 pixels.
    [[nodiscard]] std::array<std::uint32_t, 4> sum_of_block(const std::uint8_t* rgb,
                                                            std::size_t pixels) const;

    // Four inks in the four 16-bit parts of a number, each 0..13107: five fifths of them fit 16
    // bits. Some more past the last node.
    std::vector<std::uint64_t> own_values_;
    std::span<const std::uint64_t> values_;
    std::array<Corners, 125> corners_{};
    // Per channel and code: number of the node << 8 | part of the place in the cell.
    std::array<std::uint32_t, 256> red_{}, green_{}, blue_{};
};

}  // namespace paleproof::color
