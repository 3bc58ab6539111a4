// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace paleproof {

struct Utf8Character {
    char32_t value = 0;
    std::size_t length = 0;  ///< bytes; 0 = none that is well formed
};

/// The first character of a text, well formed by RFC 3629 (Unicode 15, table 3-7): no stray or
/// missing continuation bytes, no overlong forms, no surrogates, nothing past U+10FFFF.
[[nodiscard]] Utf8Character first_character(std::string_view text);

/// C0 and C1 controls and DEL: line breaks, tabs, what a terminal takes for a command.
[[nodiscard]] bool is_control(char32_t character);

[[nodiscard]] bool is_utf8(std::string_view text);

/// The text with U+FFFD for every byte that is part of no character.
[[nodiscard]] std::string valid_utf8(std::string_view text);

/// The text with a blank for every control character, so that it stays within its line on a
/// terminal; bytes that are part of no character stay, as names of files may hold them.
[[nodiscard]] std::string one_line(std::string_view text);

}  // namespace paleproof
