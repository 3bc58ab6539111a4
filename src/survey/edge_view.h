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
        return image_.channels() == 1 ? static_cast<float>(pixel[0]) : light_of(pixel);
    }

    /// light() of the outermost `rows` rows, row after row. The picture is read in its own order,
    /// which is what makes it fast.
    void put_light(int rows, float* out) const {
        const auto n = static_cast<std::size_t>(length());
        if (level()) {
            for (int r = 0; r < rows; ++r, out += n) put_lights(at(r, 0), channels(), n, 1, out);
            return;
        }
        const auto step = static_cast<std::ptrdiff_t>(n);
        const bool right = side_ == Side::right;
        const auto count = static_cast<std::size_t>(rows);
        for (std::size_t x = 0; x < n; ++x) {
            put_lights(at(right ? rows - 1 : 0, static_cast<int>(x)), channels(), count,
                       right ? -step : step,
                       out + static_cast<std::ptrdiff_t>(x) + (right ? (rows - 1) * step : 0));
        }
    }

  private:
    static float light_of(const std::uint8_t* rgb) {
        return 0.1F * static_cast<float>(3 * rgb[0] + 6 * rgb[1] + rgb[2]);
    }
    static void put_lights(const std::uint8_t* in, int channels, std::size_t count,
                           std::ptrdiff_t step, float* out) {
        if (channels == 1) {
            for (std::size_t i = 0; i < count; ++i, out += step) *out = static_cast<float>(in[i]);
            return;
        }
        for (std::size_t i = 0; i < count; ++i, in += 3, out += step) {
            *out = light_of(in);
        }
    }

    const Image& image_;
    RectPx area_;
    Side side_;
};

}  // namespace paleproof::survey
