// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>

#include "core/image.h"
#include "core/wide.h"

namespace paleproof {

/// Every byte of `to` becomes `op` of itself and the byte of `other` in its place, many at a time.
/// Two pictures of one size and one number of channels; `op` is plain arithmetic.
template <class Op>
void combine(Image& to, const Image& other, Op op) {
    wide([a = to.bytes().data(), b = other.bytes().data(),
          count = std::min(to.bytes().size(), other.bytes().size()), op] {
        for (std::size_t i = 0; i < count; ++i) a[i] = op(a[i], b[i]);
    });
}

/// The darker of two pictures, pixel by pixel.
[[nodiscard]] inline Image darker(Image a, const Image& b) {
    combine(a, b, [](std::uint8_t x, std::uint8_t y) { return std::min(x, y); });
    return a;
}

/// The lighter of two pictures, or of two masks what either has.
[[nodiscard]] inline Image lighter(Image a, const Image& b) {
    combine(a, b, [](std::uint8_t x, std::uint8_t y) { return std::max(x, y); });
    return a;
}

}  // namespace paleproof
