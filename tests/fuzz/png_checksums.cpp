// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "png_checksums.h"

#include <zlib.h>

namespace paleproof::fuzz {

void mend_png_checksums(std::span<std::uint8_t> file) {
    if (file.size() < 8 || file[0] != 0x89 || file[1] != 'P') return;
    // PNG specification, third edition, 5.3: length, type, data, CRC of type and data.
    for (std::size_t at = 8; at + 12 <= file.size();) {
        std::size_t length = 0;
        for (std::size_t i = 0; i < 4; ++i) length = length << 8U | file[at + i];
        if (length > file.size() - at - 12) return;
        const auto sum = static_cast<std::uint32_t>(
            crc32(0, file.data() + at + 4, static_cast<uInt>(length + 4)));
        for (std::size_t i = 0; i < 4; ++i)
            file[at + 8 + length + i] = static_cast<std::uint8_t>(sum >> (24 - 8 * i));
        at += length + 12;
    }
}

}  // namespace paleproof::fuzz
