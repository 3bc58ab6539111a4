// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/base64.h"

#include <algorithm>
#include <cstddef>

namespace paleproof {
namespace {

constexpr std::string_view digits =
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

}  // namespace

std::string base64(std::string_view bytes) {
    std::string result;
    result.reserve((bytes.size() + 2) / 3 * 4);
    for (std::size_t i = 0; i < bytes.size(); i += 3) {
        const std::size_t count = std::min<std::size_t>(3, bytes.size() - i);
        std::uint32_t group = 0;
        for (std::size_t j = 0; j < 3; ++j) {
            group <<= 8U;
            if (j < count) {
                group |= static_cast<unsigned char>(bytes[i + j]);
            }
        }
        for (std::size_t j = 0; j < 4; ++j) {
            result += j <= count ? digits[(group >> (18U - 6U * j)) & 0x3FU] : '=';
        }
    }
    return result;
}

std::vector<std::uint8_t> from_base64(std::string_view text) {
    std::vector<std::uint8_t> bytes;
    std::uint32_t gathered = 0;
    unsigned bits = 0;
    for (const char c : text) {
        if (c == '=') break;
        const std::size_t value = digits.find(c);
        if (value == std::string_view::npos) return {};
        gathered = gathered << 6U | static_cast<std::uint32_t>(value);
        bits += 6;
        if (bits < 8) continue;
        bits -= 8;
        bytes.push_back(static_cast<std::uint8_t>(gathered >> bits & 255U));
    }
    return bytes;
}

}  // namespace paleproof
