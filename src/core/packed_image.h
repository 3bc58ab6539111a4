// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "core/units.h"

namespace paleproof {

/// A compressed picture as PNG and PDF share it: one zlib stream over rows that each begin with a
/// PNG filter byte. A PNG wraps it in IDAT; a PDF takes it as it is with FlateDecode, Predictor 15.
/// So a face is compressed once, and the same bytes serve the PNG file and every PDF.
struct PackedImage {
    int width = 0;     ///< pixels
    int height = 0;    ///< pixels
    int channels = 1;  ///< 1 gray, 3 sRGB; 4 CMYK, 255 = full ink, in a PDF only
    int bits = 8;      ///< per channel: 1 or 8
    Ppi ppi;           ///< 0 = not stated
    std::vector<std::uint8_t> zlib;
    /// In a PDF only: `zlib` holds CCITT Group 4 data (ITU-T T.6) of a 1-bit picture instead.
    bool group4 = false;
};

}  // namespace paleproof
