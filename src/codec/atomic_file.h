// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string_view>

namespace paleproof::codec {

/// Writes a file whole or not at all: under a temporary name in the same folder, flushed to the
/// disk, renamed over the old file. Readers see the old file or the new one, never a part. The
/// temporary file is removed on failure. Mode 0666 less the umask, or that of the file replaced.
/// Error{file}, subject = `file`, with the system's reason.
void write_file(const std::filesystem::path& file, std::span<const std::uint8_t> bytes);
void write_file(const std::filesystem::path& file, std::string_view text);

}  // namespace paleproof::codec
