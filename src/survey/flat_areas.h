// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::survey {

/// The trimmed area at about 150 ppi, three channels, each pixel the mean of a square.
struct SmallView {
    int width = 0, height = 0;
    int step = 1;  ///< pixels of the face on a side of one of these
    RectPx trimmed;
    std::vector<std::uint8_t> rgb;

    [[nodiscard]] const std::uint8_t* at(int x, int y) const {
        return rgb.data() + 3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                                 static_cast<std::size_t>(x));
    }
    [[nodiscard]] RectPx on_face(RectPx box) const {
        return {trimmed.x + box.x * step, trimmed.y + box.y * step, box.width * step,
                box.height * step};
    }
};

[[nodiscard]] SmallView small_view(const Image& face, RectPx trimmed, Ppi ppi);

/// Codes of a channel by which neighbors of one even area may differ: JPEG noise after the mean of
/// four.
inline constexpr int flat_step = 7;

/// For each of `count` pixels of a row 1 where it is alike its neighbor, else 0; `a` and `b` are
/// the three channels of the pixels and of their neighbors.
void alike_row(const std::uint8_t* a, const std::uint8_t* b, int count, std::uint8_t* alike);

/// A connected area of one color, in pixels of the small view.
struct FlatArea {
    std::array<std::uint8_t, 3> color{};
    RectPx box;
    RectPx core;  ///< largest square inside
    int pixels = 0;
    int edge = 0;  ///< steps from a pixel of it to one that is not
};

struct FlatAreas {
    std::vector<FlatArea> areas;  ///< largest first
    std::vector<int> touching;    ///< areas x areas: steps over which two of them lie side by side
};

/// Areas of at least `least` pixels, at most `most` of them.
[[nodiscard]] FlatAreas flat_areas(const SmallView& view, int least, std::size_t most);

}  // namespace paleproof::survey
