// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::survey {

enum class Side { top, right, bottom, left };

/// A rectangle of a picture seen from one of its sides: row 0 is the outermost, x runs along it,
/// rightward or downward. Reads only; picture and rectangle must outlive it.
class EdgeView {
  public:
    /// `area` lies in the picture and is not empty.
    EdgeView(const Image& image, RectPx area, Side side)
        : image_(image), area_(area), side_(side) {}

    [[nodiscard]] bool level() const { return side_ == Side::top || side_ == Side::bottom; }
    [[nodiscard]] int length() const { return level() ? area_.width : area_.height; }
    [[nodiscard]] int depth() const { return level() ? area_.height : area_.width; }
    [[nodiscard]] int channels() const { return image_.channels(); }

    [[nodiscard]] const std::uint8_t* at(int row, int x) const {
        int px = area_.x + x;
        int py = area_.y + row;
        if (side_ == Side::bottom) py = area_.bottom() - 1 - row;
        if (!level()) {
            px = side_ == Side::left ? area_.x + row : area_.right() - 1 - row;
            py = area_.y + x;
        }
        return image_.row(py) + static_cast<std::ptrdiff_t>(px) * image_.channels();
    }

    /// Lightness as a plain mean of weights 0.3, 0.6, 0.1.
    [[nodiscard]] float light(int row, int x) const {
        const std::uint8_t* pixel = at(row, x);
        if (image_.channels() == 1) return static_cast<float>(pixel[0]);
        return 0.3F * static_cast<float>(pixel[0]) + 0.6F * static_cast<float>(pixel[1]) +
               0.1F * static_cast<float>(pixel[2]);
    }

  private:
    const Image& image_;
    RectPx area_;
    Side side_;
};

}  // namespace paleproof::survey
