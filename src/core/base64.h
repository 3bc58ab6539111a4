// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace paleproof {

/// RFC 4648, section 4, with padding, no line breaks.
[[nodiscard]] std::string base64(std::string_view bytes);

/// The bytes of such a text; none when it has a character that base64 does not know.
[[nodiscard]] std::vector<std::uint8_t> from_base64(std::string_view text);

}  // namespace paleproof
