// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

// EXIF blocks (TIFF 6.0 structure) for tests.
namespace paleproof::test {

struct ExifWish {
    bool little = false;
    int orientation = 0;                            ///< 0 = no tag
    std::optional<std::uint32_t> x = std::nullopt;  ///< resolution, numerator
    std::optional<std::uint32_t> y = std::nullopt;
    std::uint32_t denominator = 1;
    int unit = 0;  ///< 0 = no tag
};

/// The TIFF block, without "Exif\0\0".
inline std::vector<std::uint8_t> tiff_block(const ExifWish& wish) {
    std::vector<std::uint8_t> bytes;
    const auto put = [&](std::uint32_t value, unsigned count) {
        for (unsigned i = 0; i < count; ++i) {
            const unsigned shift = 8 * (wish.little ? i : count - 1 - i);
            bytes.push_back(static_cast<std::uint8_t>(value >> shift));
        }
    };
    const auto entries = static_cast<std::uint32_t>((wish.orientation != 0) + wish.x.has_value() +
                                                    wish.y.has_value() + (wish.unit != 0));
    std::uint32_t values = 8 + 2 + 12 * entries + 4;  // where rationals go
    const auto put_short = [&](std::uint32_t tag, int value) {
        put(tag, 2);
        put(3, 2);
        put(1, 4);
        put(static_cast<std::uint32_t>(value), 2);
        put(0, 2);
    };
    const auto put_rational = [&](std::uint32_t tag) {
        put(tag, 2);
        put(5, 2);
        put(1, 4);
        put(values, 4);
        values += 8;
    };
    put(wish.little ? 0x4949 : 0x4D4D, 2);
    put(42, 2);
    put(8, 4);
    put(entries, 2);
    if (wish.orientation != 0) {
        put_short(0x0112, wish.orientation);
    }
    if (wish.x) {
        put_rational(0x011A);
    }
    if (wish.y) {
        put_rational(0x011B);
    }
    if (wish.unit != 0) {
        put_short(0x0128, wish.unit);
    }
    put(0, 4);
    for (const auto& value : {wish.x, wish.y}) {
        if (value) {
            put(*value, 4);
            put(wish.denominator, 4);
        }
    }
    return bytes;
}

/// The payload of a JPEG APP1 segment.
inline std::vector<std::uint8_t> exif_segment(const ExifWish& wish) {
    std::vector<std::uint8_t> bytes{'E', 'x', 'i', 'f', 0, 0};
    const auto block = tiff_block(wish);
    bytes.insert(bytes.end(), block.begin(), block.end());
    return bytes;
}

}  // namespace paleproof::test
