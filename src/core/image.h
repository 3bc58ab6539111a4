// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "core/geometry.h"
#include "core/units.h"

namespace paleproof {

/// How the numbers of an Image are meant. All are 8 bits per channel, rows packed without padding.
enum class Encoding {
    srgb,    ///< three channels R, G, B, sRGB-encoded (IEC 61966-2-1)
    gray,    ///< one channel, sRGB transfer curve, 0 black .. 255 white; also masks (255 = inside)
    bilevel  ///< one channel that holds 0 (ink) or 255 (paper) only; written as 1 bit
};

/// A picture that owns its pixels. Copying copies them; filters take const Image& and return a new
/// one. Never holds alpha: transparency was composited on paper white when the face was read.
class Image {
  public:
    Image() = default;
    /// All pixels 255 (paper). Error{internal} unless width and height are at least 1.
    Image(int width, int height, Encoding encoding, Ppi ppi = {});

    [[nodiscard]] int width() const { return width_; }
    [[nodiscard]] int height() const { return height_; }
    [[nodiscard]] SizePx size() const { return {width_, height_}; }
    [[nodiscard]] RectPx bounds() const { return {0, 0, width_, height_}; }
    [[nodiscard]] bool empty() const { return data_.empty(); }
    [[nodiscard]] Encoding encoding() const { return encoding_; }
    [[nodiscard]] int channels() const { return encoding_ == Encoding::srgb ? 3 : 1; }
    [[nodiscard]] Ppi ppi() const { return ppi_; }
    void set_ppi(Ppi ppi) { ppi_ = ppi; }

    /// Bytes from one row to the next.
    [[nodiscard]] std::size_t stride() const {
        return static_cast<std::size_t>(width_) * static_cast<std::size_t>(channels());
    }
    [[nodiscard]] const std::uint8_t* row(int y) const {
        return data_.data() + static_cast<std::size_t>(y) * stride();
    }
    [[nodiscard]] std::uint8_t* row(int y) {
        return data_.data() + static_cast<std::size_t>(y) * stride();
    }
    [[nodiscard]] std::span<const std::uint8_t> bytes() const { return data_; }
    [[nodiscard]] std::span<std::uint8_t> bytes() { return data_; }

    friend bool operator==(const Image&, const Image&) = default;

  private:
    int width_ = 0;
    int height_ = 0;
    Encoding encoding_ = Encoding::srgb;
    Ppi ppi_;
    std::vector<std::uint8_t> data_;
};

/// The pixels of `image` under `part`. Error{internal} if the part is empty or leaves the image.
[[nodiscard]] Image crop(const Image& image, RectPx part);

}  // namespace paleproof
