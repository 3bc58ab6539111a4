// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/ink_table.h"

#include <algorithm>
#include <utility>

namespace paleproof::color {
namespace {

constexpr std::uint32_t step = 5;  // codes from node to node
constexpr std::array<std::uint32_t, 3> strides = {InkTable::nodes * InkTable::nodes,
                                                  InkTable::nodes, 1};

}  // namespace

InkTable::InkTable(const Source& source) : InkTable(std::span<const std::uint64_t>()) {
    constexpr std::size_t count = nodes * nodes * nodes;
    std::vector<std::uint8_t> colors;
    colors.reserve(count * 3);
    for (std::uint32_t r = 0; r < nodes; ++r) {
        for (std::uint32_t g = 0; g < nodes; ++g) {
            for (std::uint32_t b = 0; b < nodes; ++b) {
                for (const std::uint32_t v : {r, g, b}) {
                    colors.push_back(static_cast<std::uint8_t>(v * step));
                }
            }
        }
    }
    std::vector<std::uint16_t> inks(count * 4);
    source(colors, inks);
    // Corners past the last node have weight 0 but are read: code 255 lies on a node.
    own_values_.resize(count + strides[0] + strides[1] + strides[2]);
    for (std::size_t i = 0; i < count; ++i) {
        for (std::size_t ink = 0; ink < 4; ++ink) {
            const std::uint64_t fifth = (inks[i * 4 + ink] + step / 2) / step;
            own_values_[i] |= fifth << (16U * ink);
        }
    }
    values_ = own_values_;
}

InkTable::InkTable(std::span<const std::uint64_t> values) : values_(values) {
    for (std::uint32_t code = 0; code < 256; ++code) {
        const std::uint32_t node = code / step;
        const std::uint32_t place = code % step;
        red_[code] = (node * strides[0] << 8U) | place * 25;
        green_[code] = (node * strides[1] << 8U) | place * 5;
        blue_[code] = (node * strides[2] << 8U) | place;
    }
    for (std::uint32_t place = 0; place < corners_.size(); ++place) {
        // Walk from the first node along the channel with the largest part first: Kasson, Nin,
        // Plouffe, Hafner, J. Electronic Imaging 4(3):226-250, 1995.
        std::array<std::pair<std::uint32_t, std::uint32_t>, 3> parts = {
            {{place / 25, strides[0]}, {place / 5 % 5, strides[1]}, {place % 5, strides[2]}}};
        std::stable_sort(parts.begin(), parts.end(),
                         [](const auto& a, const auto& b) { return a.first > b.first; });
        Corners& corner = corners_[place];
        corner.weight = {step - parts[0].first, parts[0].first - parts[1].first,
                         parts[1].first - parts[2].first, parts[2].first};
        corner.offset = {parts[0].second, parts[0].second + parts[1].second,
                         strides[0] + strides[1] + strides[2]};
    }
}

InkSum InkTable::sum(const std::uint8_t* rgb, std::size_t pixels) const {
    // Two inks a number, 32 bits each: room for 65536 pixels of at most 65535.
    constexpr std::size_t block = 65536;
    constexpr std::uint64_t even = 0x0000FFFF0000FFFFU;
    InkSum total{};
    while (pixels > 0) {
        const std::size_t count = std::min(pixels, block);
        std::uint64_t cy = 0, mk = 0;
        for (std::size_t i = 0; i < count; ++i, rgb += 3) {
            const std::uint32_t place = red_[rgb[0]] + green_[rgb[1]] + blue_[rgb[2]];
            const std::uint64_t* first = &values_[place >> 8U];
            const Corners& corner = corners_[place & 255U];
            const std::uint64_t inks = first[0] * corner.weight[0] +
                                       first[corner.offset[0]] * corner.weight[1] +
                                       first[corner.offset[1]] * corner.weight[2] +
                                       first[corner.offset[2]] * corner.weight[3];
            cy += inks & even;
            mk += inks >> 16U & even;
        }
        total[0] += cy & 0xFFFFFFFFU;
        total[1] += mk & 0xFFFFFFFFU;
        total[2] += cy >> 32U;
        total[3] += mk >> 32U;
        pixels -= count;
    }
    return total;
}

}  // namespace paleproof::color
