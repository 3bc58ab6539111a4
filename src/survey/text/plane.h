// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace paleproof::survey {

/// Numbers on a grid, rows packed, `channels` values a cell: what the steps of the text survey
/// hand to each other.
template <class T>
struct Plane {
    int width = 0;
    int height = 0;
    int channels = 1;
    std::vector<T> data;

    Plane() = default;
    Plane(int w, int h, int c = 1, T value = T{})
        : width(w),
          height(h),
          channels(c),
          data(static_cast<std::size_t>(w) * static_cast<std::size_t>(h) *
                   static_cast<std::size_t>(c),
               value) {}

    [[nodiscard]] bool empty() const { return data.empty(); }
    [[nodiscard]] std::size_t stride() const {
        return static_cast<std::size_t>(width) * static_cast<std::size_t>(channels);
    }
    [[nodiscard]] T* row(int y) { return data.data() + static_cast<std::size_t>(y) * stride(); }
    [[nodiscard]] const T* row(int y) const {
        return data.data() + static_cast<std::size_t>(y) * stride();
    }
    [[nodiscard]] T& at(int x, int y) { return row(y)[x]; }
    [[nodiscard]] const T& at(int x, int y) const { return row(y)[x]; }
};

using Plane8 = Plane<std::uint8_t>;
using PlaneF = Plane<float>;

}  // namespace paleproof::survey
