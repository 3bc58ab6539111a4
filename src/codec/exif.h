// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <span>

namespace paleproof::codec {

/// The three things that a card face needs from an EXIF block (EXIF 2.32, 4.6.4 and 4.6.5 A, C).
struct Exif {
    int orientation = 1;  ///< tag 0x0112, 1..8
    double x_ppi = 0.0;   ///< tags 0x011A and 0x0128; 0 = not stated
    double y_ppi = 0.0;   ///< tags 0x011B and 0x0128
};

/// From a TIFF block (JPEG APP1 without its "Exif\0\0", PNG eXIf). Damaged blocks give what could
/// be read; never fails, never reads outside `tiff`.
[[nodiscard]] Exif exif(std::span<const std::uint8_t> tiff);

}  // namespace paleproof::codec
