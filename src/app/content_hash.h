// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <string_view>

namespace paleproof::app {

/// XXH3-128 as 32 hex digits: tells whether content is the same, not who wrote it.
[[nodiscard]] std::string content_hash(std::span<const std::uint8_t> bytes);
[[nodiscard]] std::string content_hash(std::string_view text);
/// Error{file} when the file cannot be read.
[[nodiscard]] std::string content_hash_of_file(const std::filesystem::path& file);

}  // namespace paleproof::app
