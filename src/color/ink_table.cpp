// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/ink_table.h"

#include <algorithm>
#include <utility>

#ifdef __SSE2__
#include <emmintrin.h>
#endif

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
        const std::array<std::uint32_t, 4> weight = {
            step - parts[0].first, parts[0].first - parts[1].first, parts[1].first - parts[2].first,
            parts[2].first};
        for (std::size_t i = 0; i < 8; ++i) {
            corner.first[i] = static_cast<std::int16_t>(weight[i % 2]);
            corner.last[i] = static_cast<std::int16_t>(weight[2 + i % 2]);
        }
        corner.offset = {parts[0].second, parts[0].second + parts[1].second,
                         strides[0] + strides[1] + strides[2]};
    }
}

InkSum InkTable::sum(const std::uint8_t* rgb, std::size_t pixels) const {
    // Sums of 32 bits have room for 65536 pixels of at most 65535.
    constexpr std::size_t block = 65536;
    InkSum total{};
    while (pixels > 0) {
        const std::size_t count = std::min(pixels, block);
        const std::array<std::uint32_t, 4> inks = sum_of_block(rgb, count);
        for (std::size_t ink = 0; ink < total.size(); ++ink) total[ink] += inks[ink];
        rgb += 3 * count;
        pixels -= count;
    }
    return total;
}

#ifdef __SSE2__

std::array<std::uint32_t, 4> InkTable::sum_of_block(const std::uint8_t* rgb,
                                                    std::size_t pixels) const {
    const auto four = [](const std::uint64_t* inks) {
        return _mm_loadl_epi64(reinterpret_cast<const __m128i*>(inks));
    };
    const auto weighed = [](__m128i one, __m128i other, const std::array<std::int16_t, 8>& by) {
        return _mm_madd_epi16(_mm_unpacklo_epi16(one, other),
                              _mm_load_si128(reinterpret_cast<const __m128i*>(by.data())));
    };
    __m128i sums = _mm_setzero_si128();
    for (std::size_t i = 0; i < pixels; ++i, rgb += 3) {
        const std::uint32_t place = red_[rgb[0]] + green_[rgb[1]] + blue_[rgb[2]];
        const std::uint64_t* first = values_.data() + (place >> 8U);
        const Corners& corner = corners_[place & 255U];
        const __m128i near = weighed(four(first), four(first + corner.offset[0]), corner.first);
        const __m128i far =
            weighed(four(first + corner.offset[1]), four(first + corner.offset[2]), corner.last);
        sums = _mm_add_epi32(sums, _mm_add_epi32(near, far));
    }
    std::array<std::uint32_t, 4> result{};
    _mm_storeu_si128(reinterpret_cast<__m128i*>(result.data()), sums);
    return result;
}

#else

std::array<std::uint32_t, 4> InkTable::sum_of_block(const std::uint8_t* rgb,
                                                    std::size_t pixels) const {
    std::array<std::uint32_t, 4> result{};
    for (std::size_t i = 0; i < pixels; ++i, rgb += 3) {
        const std::uint32_t place = red_[rgb[0]] + green_[rgb[1]] + blue_[rgb[2]];
        const std::uint64_t* first = values_.data() + (place >> 8U);
        const Corners& corner = corners_[place & 255U];
        const auto weight = [](std::int16_t w) { return static_cast<std::uint64_t>(w); };
        const std::uint64_t inks = first[0] * weight(corner.first[0]) +
                                   first[corner.offset[0]] * weight(corner.first[1]) +
                                   first[corner.offset[1]] * weight(corner.last[0]) +
                                   first[corner.offset[2]] * weight(corner.last[1]);
        for (std::size_t ink = 0; ink < result.size(); ++ink) {
            result[ink] += static_cast<std::uint32_t>(inks >> (16U * ink) & 65535U);
        }
    }
    return result;
}

#endif

}  // namespace paleproof::color
