// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace paleproof::codec {

/// One APPn segment of a JPEG file, without marker and length.
struct JpegSegment {
    int app;  ///< n
    std::span<const std::uint8_t> data;
};

/// The TIFF block of the first EXIF segment (APP1), empty when there is none.
[[nodiscard]] std::span<const std::uint8_t> exif_block(std::span<const JpegSegment> segments);

/// The ICC profile that APP2 segments carry in numbered parts (ICC.1:2022, B.4), joined. Empty when
/// there is none; empty with a note when parts are missing or doubled. `found` says whether there
/// was any part.
[[nodiscard]] std::vector<std::uint8_t> icc_profile(std::span<const JpegSegment> segments,
                                                    bool& found, std::vector<std::string>& notes);

}  // namespace paleproof::codec
