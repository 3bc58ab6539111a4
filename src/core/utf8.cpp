// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/utf8.h"

#include <algorithm>

namespace paleproof {
namespace {

std::size_t length_by(unsigned char lead) {
    if (lead < 0x80) return 1;
    if (lead < 0xC2) return 0;
    if (lead < 0xE0) return 2;
    if (lead < 0xF0) return 3;
    return lead < 0xF5 ? 4 : 0;
}

}  // namespace

Utf8Character first_character(std::string_view text) {
    if (text.empty()) return {};
    const auto lead = static_cast<unsigned char>(text[0]);
    const std::size_t length = length_by(lead);
    if (length == 0 || length > text.size()) return {};
    char32_t value = length == 1 ? lead : lead & (0x7FU >> length);
    for (std::size_t k = 1; k < length; ++k) {
        const auto next = static_cast<unsigned char>(text[k]);
        if ((next & 0xC0U) != 0x80U) return {};
        value = (value << 6U) | (next & 0x3FU);
    }
    const bool overlong = (length == 3 && value < 0x800) || (length == 4 && value < 0x10000);
    const bool surrogate = value >= 0xD800 && value < 0xE000;
    if (overlong || surrogate || value > 0x10FFFF) return {};
    return {value, length};
}

bool is_control(char32_t character) {
    return character < 0x20 || (character >= 0x7F && character < 0xA0);
}

bool is_utf8(std::string_view text) {
    while (!text.empty()) {
        const std::size_t length = first_character(text).length;
        if (length == 0) return false;
        text.remove_prefix(length);
    }
    return true;
}

std::string valid_utf8(std::string_view text) {
    std::string result;
    result.reserve(text.size());
    while (!text.empty()) {
        const std::size_t length = first_character(text).length;
        if (length == 0) {
            result += "\xEF\xBF\xBD";
            text.remove_prefix(1);
        } else {
            result += text.substr(0, length);
            text.remove_prefix(length);
        }
    }
    return result;
}

std::string one_line(std::string_view text) {
    std::string result;
    result.reserve(text.size());
    while (!text.empty()) {
        const auto [value, length] = first_character(text);
        if (length > 0 && is_control(value)) {
            result += ' ';
        } else {
            result += text.substr(0, std::max<std::size_t>(length, 1));
        }
        text.remove_prefix(std::max<std::size_t>(length, 1));
    }
    return result;
}

}  // namespace paleproof
