// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/face_rows.h"

#include <algorithm>
#include <cstddef>
#include <utility>

namespace paleproof::codec {
namespace {

Encoding encoding_of(const color::ToSrgb& conversion) {
    return conversion.output_channels() == 1 ? Encoding::gray : Encoding::srgb;
}

constexpr std::uint32_t opaque(std::uint8_t) { return 255; }
constexpr std::uint32_t opaque(std::uint16_t) { return 65535; }

/// Division by a constant, so that the compiler multiplies instead.
template <class Sample>
std::uint8_t on_white(std::uint32_t color, Sample alpha) {
    constexpr std::uint32_t full = opaque(Sample{});
    return static_cast<std::uint8_t>((color * alpha + 255U * (full - alpha) + full / 2) / full);
}

template <class Sample>
std::uint8_t mask_value(Sample alpha) {
    if constexpr (sizeof(Sample) == 1) {
        return alpha;
    } else {
        return color::to_8_bits(alpha);
    }
}

}  // namespace

FaceRows::FaceRows(SizePx size, color::ToSrgb conversion, bool alpha)
    : conversion_(std::move(conversion)),
      alpha_(alpha),
      direct_(!alpha && conversion_.input_channels() == conversion_.output_channels()),
      image_(size.width, size.height, encoding_of(conversion_)) {
    if (alpha) {
        colors_.resize(image_.stride());
    }
}

std::size_t FaceRows::samples() const {
    if (!palette_.empty()) {
        return 1;
    }
    return static_cast<std::size_t>(conversion_.input_channels()) + (alpha_ ? 1 : 0);
}

void FaceRows::settle(int y) {
    if (!conversion_.identity()) {
        conversion_.convert(image_.row(y), image_.row(y), static_cast<std::size_t>(image_.width()));
    }
}

/// The mask is made, opaque all over, when the first pixel needs it.
std::uint8_t* FaceRows::mask_row(int y) {
    if (!mask_) {
        mask_.emplace(image_.width(), image_.height(), Encoding::gray);
    }
    return mask_->row(y);
}

template <class Sample>
void FaceRows::put_alpha(int y, const Sample* samples, Sample* colors) {
    const auto width = static_cast<std::size_t>(image_.width());
    const auto channels = static_cast<std::size_t>(conversion_.input_channels());
    std::uint32_t lowest = opaque(Sample{});
    for (std::size_t x = 0; x < width; ++x) {
        const Sample* in = samples + x * (channels + 1);
        for (std::size_t c = 0; c < channels; ++c) {
            colors[x * channels + c] = in[c];
        }
        lowest = std::min<std::uint32_t>(lowest, in[channels]);
    }
    std::uint8_t* out = image_.row(y);
    // 8-bit colors stand in `out` already.
    if (sizeof(Sample) == 2 || !conversion_.identity()) {
        conversion_.convert(colors, out, width);
    }
    if (mask_value(static_cast<Sample>(lowest)) == 255) {
        return;
    }
    std::uint8_t* mask = mask_row(y);
    for (std::size_t x = 0; x < width; ++x) {
        const Sample alpha = samples[x * (channels + 1) + channels];
        mask[x] = mask_value(alpha);
        for (std::size_t c = 0; c < channels; ++c) {
            std::uint8_t& shown = out[x * channels + c];
            shown = on_white(shown, alpha);
        }
    }
}

void FaceRows::put(int y, const std::uint8_t* samples) {
    if (alpha_) {
        put_alpha(y, samples, image_.row(y));
    } else if (conversion_.identity()) {
        std::copy_n(samples, image_.stride(), image_.row(y));
    } else {
        conversion_.convert(samples, image_.row(y), static_cast<std::size_t>(image_.width()));
    }
}

void FaceRows::put(int y, const std::uint16_t* samples) {
    if (alpha_) {
        put_alpha(y, samples, colors_.data());
    } else {
        conversion_.convert(samples, image_.row(y), static_cast<std::size_t>(image_.width()));
    }
}

void FaceRows::set_palette(std::span<const std::uint8_t> colors,
                           std::span<const std::uint8_t> alphas) {
    direct_ = false;
    palette_.resize(colors.size() / 3);
    std::vector<std::uint8_t> converted(3 * palette_.size());
    conversion_.convert(colors.data(), converted.data(), palette_.size());
    for (std::size_t i = 0; i < palette_.size(); ++i) {
        Entry& entry = palette_[i];
        entry.alpha = i < alphas.size() ? alphas[i] : std::uint8_t{255};
        for (std::size_t c = 0; c < 3; ++c) {
            entry.shown[c] = on_white(converted[3 * i + c], entry.alpha);
        }
    }
}

bool FaceRows::put_indices(int y, const std::uint8_t* indices) {
    std::uint8_t* out = image_.row(y);
    std::uint8_t* mask = mask_ ? mask_->row(y) : nullptr;
    const auto width = static_cast<std::size_t>(image_.width());
    for (std::size_t x = 0; x < width; ++x) {
        if (indices[x] >= palette_.size()) {
            return false;
        }
        const Entry& entry = palette_[indices[x]];
        std::copy(entry.shown.begin(), entry.shown.end(), out + 3 * x);
        if (entry.alpha != 255) {
            mask = mask == nullptr ? mask_row(y) : mask;
            mask[x] = entry.alpha;
        }
    }
    return true;
}

void FaceRows::move_into(Face& face) {
    face.image = std::move(image_);
    face.mask = std::move(mask_);
}

}  // namespace paleproof::codec
