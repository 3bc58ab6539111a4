// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/exif.h"

#include <cstddef>

namespace paleproof::codec {
namespace {

/// Numbers at an offset of a TIFF block in its own byte order; 0 past the end.
class Tiff {
  public:
    Tiff(std::span<const std::uint8_t> bytes, bool little) : bytes_(bytes), little_(little) {}

    [[nodiscard]] std::uint32_t u16(std::size_t at) const { return number(at, 2); }
    [[nodiscard]] std::uint32_t u32(std::size_t at) const { return number(at, 4); }
    [[nodiscard]] std::size_t size() const { return bytes_.size(); }

  private:
    [[nodiscard]] std::uint32_t number(std::size_t at, std::size_t count) const {
        if (at > bytes_.size() || bytes_.size() - at < count) {
            return 0;
        }
        std::uint32_t value = 0;
        for (std::size_t i = 0; i < count; ++i) {
            value = value << 8U | bytes_[at + (little_ ? count - 1 - i : i)];
        }
        return value;
    }

    std::span<const std::uint8_t> bytes_;
    bool little_;
};

constexpr std::uint32_t type_short = 3;
constexpr std::uint32_t type_rational = 5;

double rational(const Tiff& tiff, std::size_t at) {
    const std::uint32_t denominator = tiff.u32(at + 4);
    return denominator == 0 ? 0.0 : static_cast<double>(tiff.u32(at)) / denominator;
}

}  // namespace

Exif exif(std::span<const std::uint8_t> bytes) {
    Exif result;
    if (bytes.size() < 8 || bytes[0] != bytes[1] || (bytes[0] != 'I' && bytes[0] != 'M')) {
        return result;
    }
    const Tiff tiff(bytes, bytes[0] == 'I');
    if (tiff.u16(2) != 42) {
        return result;
    }
    const std::size_t directory = tiff.u32(4);
    const std::size_t count = tiff.u16(directory);
    double per_unit_x = 0.0;
    double per_unit_y = 0.0;
    std::uint32_t unit = 2;  // inches, the default of EXIF 2.32, table 4
    for (std::size_t i = 0; i < count; ++i) {
        const std::size_t entry = directory + 2 + i * 12;
        if (entry + 12 > tiff.size()) {
            break;
        }
        const std::uint32_t tag = tiff.u16(entry);
        const std::uint32_t type = tiff.u16(entry + 2);
        const std::uint32_t value = tiff.u16(entry + 8);
        if (tag == 0x0112 && type == type_short && value >= 1 && value <= 8) {
            result.orientation = static_cast<int>(value);
        } else if (tag == 0x011A && type == type_rational) {
            per_unit_x = rational(tiff, tiff.u32(entry + 8));
        } else if (tag == 0x011B && type == type_rational) {
            per_unit_y = rational(tiff, tiff.u32(entry + 8));
        } else if (tag == 0x0128 && type == type_short) {
            unit = value;
        }
    }
    const double per_inch = unit == 2 ? 1.0 : unit == 3 ? 2.54 : 0.0;
    result.x_ppi = per_unit_x * per_inch;
    result.y_ppi = per_unit_y * per_inch;
    return result;
}

}  // namespace paleproof::codec
