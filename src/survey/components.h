// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "core/geometry.h"

namespace paleproof::survey {

/// Connected pixels (by their sides) of one label get one number, from 0, in the order of their
/// first pixels; -1 where there is no label or fewer than `least` of them.
[[nodiscard]] std::vector<int> components(const std::vector<std::uint8_t>& label, std::size_t width,
                                          int least, int& count);

/// Pixels of a mask that hang together by sides or corners.
struct Parts {
    std::vector<int>
        number;  ///< of each pixel, from 0, in the order of their first pixels; else -1
    std::vector<RectPx> boxes;  ///< of each part
};

/// The parts of what is not 0.
[[nodiscard]] Parts parts(const std::vector<std::uint8_t>& mask, std::size_t width);

}  // namespace paleproof::survey
