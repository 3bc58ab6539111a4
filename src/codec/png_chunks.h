// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "codec/read_face.h"
#include "color/source_profile.h"

namespace paleproof::codec {

/// PNG color types (PNG specification, third edition, 11.2.1).
enum class PngColor : std::uint8_t {
    gray = 0,
    rgb = 2,
    palette = 3,
    gray_alpha = 4,
    rgb_alpha = 6
};

/// What the chunks of a PNG file say, save the pixels. Spans point into the file's bytes.
struct PngChunks {
    std::uint32_t width = 0;
    std::uint32_t height = 0;
    int bits = 8;
    PngColor color = PngColor::rgb;
    bool interlaced = false;
    std::span<const std::uint8_t> palette;                      ///< PLTE: R, G, B of each entry
    std::optional<std::span<const std::uint8_t>> transparency;  ///< tRNS
    bool plain = true;  ///< IDATs in one run, checksums right, no unknown critical chunk

    std::vector<std::span<const std::uint8_t>> idat;
    std::optional<color::Cicp> cicp;
    std::optional<std::span<const std::uint8_t>> iccp;  ///< chunk data, still compressed
    bool srgb = false;
    std::optional<double> gamma;  ///< the file's gAMA / 100000
    std::optional<color::Chromaticities> primaries;
    std::optional<std::span<const std::uint8_t>> exif;
    double x_ppi = 0.0;  ///< of pHYs with unit 1; 0 = not stated
    double y_ppi = 0.0;

    [[nodiscard]] SizePx size() const {
        return {static_cast<int>(width), static_cast<int>(height)};
    }
    /// Samples a pixel as stored; 1 for a palette.
    [[nodiscard]] int channels() const;
};

/// True when `bytes` begin as every PNG file does.
[[nodiscard]] bool is_png(std::span<const std::uint8_t> bytes);

/// Walks the chunks. A damaged ancillary chunk is left out with a note. Error{format} for a
/// damaged or impossible header or palette, no pixels at all, or a file that ends before IEND;
/// Error{range} by check_size().
///
/// `verify_pixels`: also checks the checksums of IDAT, the one costly part.
[[nodiscard]] PngChunks png_chunks(std::span<const std::uint8_t> bytes, const std::string& subject,
                                   const ReadLimits& limits, bool verify_pixels,
                                   std::vector<std::string>& notes);

/// The conversion that the color chunks ask for, highest in rank first; sRGB when none is usable.
/// Fills had_profile and profile_name.
[[nodiscard]] color::ToSrgb png_conversion(const PngChunks& chunks, const ReadLimits& limits,
                                           FileFacts& facts, std::vector<std::string>& notes);

}  // namespace paleproof::codec
