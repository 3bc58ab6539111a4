// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "core/image.h"
#include "core/packed_image.h"

namespace paleproof::codec {

enum class PackLevel {
    fast,  ///< for every run
    small  ///< several times slower, some percent smaller
};

/// The picture as one zlib stream that PNG and PDF share. Gray and sRGB: 8 bits a channel; bilevel:
/// 1 bit, 1 = paper (PNG gray of depth 1, PDF DeviceGray). Deterministic. Error{internal} for an
/// empty image.
[[nodiscard]] PackedImage packed(const Image& image, PackLevel level = PackLevel::fast);

/// A whole PNG file: IHDR, sRGB (perceptual), gAMA, cHRM (RGB only), pHYs when ppi is known, IDAT,
/// IEND. No time, no text: the same picture gives the same bytes.
[[nodiscard]] std::vector<std::uint8_t> encoded_png(const PackedImage& image);

/// Writes encoded_png(image) as write_file() does (codec/atomic_file.h).
void write_png(const std::filesystem::path& file, const PackedImage& image);

/// A PNG that write_png() wrote, without inflating it. Checks every CRC. Error{file} when it cannot
/// be read, Error{format} when it is damaged or of another kind (palette, alpha, 16 bits,
/// interlaced, with a color profile).
[[nodiscard]] PackedImage packed_from_png(const std::filesystem::path& file);
[[nodiscard]] PackedImage packed_from_png(std::span<const std::uint8_t> bytes,
                                          const std::string& name);

}  // namespace paleproof::codec
