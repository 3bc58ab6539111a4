// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <zlib.h>

#include <algorithm>
#include <cstdint>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

// PNG files put together byte by byte with zlib alone, so that the room's own writer is not what
// its reader is tested with.
namespace paleproof::test {

using Bytes = std::vector<std::uint8_t>;

inline void add_u32(Bytes& bytes, std::uint32_t value) {
    for (unsigned shift = 32; shift > 0; shift -= 8) {
        bytes.push_back(static_cast<std::uint8_t>(value >> (shift - 8)));
    }
}

/// g++ 12 takes insert() at the end of a short vector for an overflow; this it does not.
inline Bytes joined(const Bytes& first, const Bytes& second) {
    Bytes both(first.size() + second.size());
    std::copy(first.begin(), first.end(), both.begin());
    std::copy(second.begin(), second.end(),
              both.begin() + static_cast<std::ptrdiff_t>(first.size()));
    return both;
}

inline Bytes numbers(std::initializer_list<std::uint32_t> values) {
    Bytes bytes;
    for (const std::uint32_t value : values) {
        add_u32(bytes, value);
    }
    return bytes;
}

inline Bytes deflated(const Bytes& bytes, int level = 6) {
    uLongf size = compressBound(static_cast<uLong>(bytes.size()));
    Bytes out(size);
    if (compress2(out.data(), &size, bytes.data(), static_cast<uLong>(bytes.size()), level) !=
        Z_OK) {
        throw std::runtime_error("zlib");
    }
    out.resize(size);
    return out;
}

/// "0000 4d4d" -> bytes; blanks are skipped.
inline Bytes from_hex(std::string_view text) {
    std::string digits;
    for (const char c : text) {
        if (c != ' ') {
            digits += c;
        }
    }
    Bytes bytes;
    for (std::size_t i = 0; i + 1 < digits.size(); i += 2) {
        bytes.push_back(static_cast<std::uint8_t>(std::stoi(digits.substr(i, 2), nullptr, 16)));
    }
    return bytes;
}

/// Chains chunks: PngMaker(w, h, 8, 2).chunk("pHYs", ...).pixels(rows).bytes().
class PngMaker {
  public:
    PngMaker(std::uint32_t width, std::uint32_t height, std::uint8_t bits, std::uint8_t color,
             std::uint8_t interlace = 0) {
        bytes_ = from_hex("89504e470d0a1a0a");
        Bytes header = numbers({width, height});
        for (const std::uint8_t byte : {bits, color, std::uint8_t{0}, std::uint8_t{0}, interlace}) {
            header.push_back(byte);
        }
        chunk("IHDR", header);
    }

    PngMaker& chunk(std::string_view type, const Bytes& data) {
        add_u32(bytes_, static_cast<std::uint32_t>(data.size()));
        const std::size_t start = bytes_.size();
        bytes_.insert(bytes_.end(), type.begin(), type.end());
        bytes_.insert(bytes_.end(), data.begin(), data.end());
        const auto size = static_cast<uInt>(bytes_.size() - start);
        add_u32(bytes_, static_cast<std::uint32_t>(crc32(0, bytes_.data() + start, size)));
        return *this;
    }

    /// Rows that each begin with a filter byte, as one IDAT.
    PngMaker& pixels(const Bytes& rows) { return chunk("IDAT", deflated(rows)); }

    [[nodiscard]] Bytes bytes() {
        chunk("IEND", {});
        return bytes_;
    }
    [[nodiscard]] const Bytes& unended() const { return bytes_; }

  private:
    Bytes bytes_;
};

/// A PNG of one 8-bit pixel with the chunks between header and pixels that `add` puts in.
template <class Add>
Bytes one_pixel(std::uint8_t color, const Bytes& samples, const Add& add) {
    PngMaker maker(1, 1, 8, color);
    add(maker);
    return maker.pixels(joined({0}, samples)).bytes();
}

}  // namespace paleproof::test
