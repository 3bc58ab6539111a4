// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

namespace paleproof::filters {

/// Numbers on a grid, rows packed: what the steps of a filter hand to each other.
struct Plane {
    int width = 0;
    int height = 0;
    std::vector<float> values;

    Plane() = default;
    Plane(int w, int h, float value = 0.0F)
        : width(w),
          height(h),
          values(static_cast<std::size_t>(w) * static_cast<std::size_t>(h), value) {}

    [[nodiscard]] float* row(int y) {
        return values.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(width);
    }
    [[nodiscard]] const float* row(int y) const {
        return values.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(width);
    }
};

}  // namespace paleproof::filters
