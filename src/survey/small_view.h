// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::survey {

/// Codes of a channel by which neighbors of one even area may differ: JPEG noise after the mean of
/// four.
inline constexpr int flat_step = 7;

/// The trimmed area at about 150 ppi, three channels, each pixel the mean of a square.
struct SmallView {
    int width = 0, height = 0;
    int step = 1;  ///< pixels of the face on a side of one of these
    RectPx trimmed;
    std::vector<std::uint8_t> rgb;
    /// 1 where a pixel is alike the one to its right, and the one below, to within flat_step in
    /// each channel; 0 in the last column and row.
    std::vector<std::uint8_t> alike_right, alike_below;

    [[nodiscard]] std::size_t index(int x, int y) const {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
               static_cast<std::size_t>(x);
    }
    [[nodiscard]] const std::uint8_t* at(int x, int y) const {
        return rgb.data() + 3 * index(x, y);
    }
    [[nodiscard]] RectPx on_face(RectPx box) const {
        return {trimmed.x + box.x * step, trimmed.y + box.y * step, box.width * step,
                box.height * step};
    }
};

[[nodiscard]] SmallView small_view(const Image& face, RectPx trimmed, Ppi ppi);

}  // namespace paleproof::survey
