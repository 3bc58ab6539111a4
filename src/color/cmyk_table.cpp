// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/cmyk_table.h"

#include <algorithm>
#include <utility>

namespace paleproof::color {
namespace {

constexpr std::uint32_t n = CmykTable::nodes;
constexpr std::array<std::uint32_t, 3> strides = {n * n * n, n* n, n};  // c, m, y; k has 1

/// Offsets of the second and third corner for each order in which c, m and y are walked; the last
/// corner is the same for all.
constexpr std::array<std::array<std::uint32_t, 2>, 6> ways = {
    {{strides[0], strides[0] + strides[1]},
     {strides[0], strides[0] + strides[2]},
     {strides[1], strides[1] + strides[0]},
     {strides[1], strides[1] + strides[2]},
     {strides[2], strides[2] + strides[0]},
     {strides[2], strides[2] + strides[1]}}};
constexpr std::uint32_t opposite = strides[0] + strides[1] + strides[2];

}  // namespace

CmykTable::CmykTable(const Source& source)
    : nodes_(std::size_t{n} * n * n * n), corners_(std::size_t{step} * step * step) {
    std::vector<std::uint8_t> inks(nodes_.size() * 4);
    for (std::size_t i = 0; i < nodes_.size(); ++i) {
        const std::size_t number[4] = {i / strides[0], i / strides[1] % n, i / strides[2] % n,
                                       i % n};
        for (std::size_t ink = 0; ink < 4; ++ink) {
            inks[i * 4 + ink] = static_cast<std::uint8_t>(number[ink] * step);
        }
    }
    std::vector<std::uint16_t> colors(nodes_.size() * 3);
    source(inks, colors);
    for (std::size_t i = 0; i < nodes_.size(); ++i) {
        for (std::size_t channel = 0; channel < 3; ++channel) {
            const std::uint64_t part = (colors[i * 3 + channel] + step / 2U) / step;
            nodes_[i] |= part << (16U * channel);
        }
    }
    // Corners past the last node have weight 0 but are read: code 255 lies on a node.
    nodes_.resize(nodes_.size() + opposite + 1);

    for (std::uint32_t code = 0; code < 256; ++code) {
        std::uint32_t part = step * step;
        for (std::size_t ink = 0; ink < 3; ++ink, part /= step) {
            place_[ink][code] = (code / step * strides[ink] << 12U) | (code % step * part);
        }
    }
    for (std::uint32_t place = 0; place < corners_.size(); ++place) {
        using Part = std::pair<std::uint32_t, std::size_t>;  // how far, along which ink
        std::array<Part, 3> parts = {
            {{place / (step * step), 0}, {place / step % step, 1}, {place % step, 2}}};
        std::stable_sort(parts.begin(), parts.end(),
                         [](const Part& a, const Part& b) { return a.first > b.first; });
        const std::uint32_t weights[4] = {step - parts[0].first, parts[0].first - parts[1].first,
                                          parts[1].first - parts[2].first, parts[2].first};
        std::copy(std::begin(weights), std::end(weights), corners_[place].weight.begin());
        const std::array<std::uint32_t, 2> way = {
            strides[parts[0].second], strides[parts[0].second] + strides[parts[1].second]};
        corners_[place].way =
            static_cast<std::uint8_t>(std::find(ways.begin(), ways.end(), way) - ways.begin());
    }
}

void CmykTable::convert(const std::uint8_t* cmyk, std::uint8_t* rgb, std::size_t pixels) const {
    constexpr std::uint64_t even = 0x0000FFFF0000FFFFU;
    constexpr std::uint32_t per_code = 65535 / step * step * step / 255;  // 3855
    const auto code = [](std::uint64_t v) {
        return static_cast<std::uint8_t>((static_cast<std::uint32_t>(v) + per_code / 2) / per_code);
    };
    for (std::size_t i = 0; i < pixels; ++i, cmyk += 4, rgb += 3) {
        const std::uint32_t place = place_[0][cmyk[0]] + place_[1][cmyk[1]] + place_[2][cmyk[2]];
        const std::uint64_t* at = &nodes_[(place >> 12U) + cmyk[3] / step];
        const Corners& corner = corners_[place & 0xFFFU];
        const std::array<std::uint32_t, 2>& way = ways[corner.way];
        const std::uint64_t* const at1 = at + way[0];
        const std::uint64_t* const at2 = at + way[1];
        const std::uint64_t* const at3 = at + opposite;
        const auto& w = corner.weight;
        const std::uint64_t less_k = at[0] * w[0] + at1[0] * w[1] + at2[0] * w[2] + at3[0] * w[3];
        const std::uint64_t more_k = at[1] * w[0] + at1[1] * w[1] + at2[1] * w[2] + at3[1] * w[3];
        const std::uint64_t share = cmyk[3] % step, rest = step - share;
        const std::uint64_t red_blue = (less_k & even) * rest + (more_k & even) * share;
        const std::uint64_t green = (less_k >> 16U & even) * rest + (more_k >> 16U & even) * share;
        rgb[0] = code(red_blue & 0xFFFFFFFFU);
        rgb[1] = code(green & 0xFFFFFFFFU);
        rgb[2] = code(red_blue >> 32U);
    }
}

}  // namespace paleproof::color
