// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>

namespace paleproof::codec {

/// The bytes of a whole file. Read, not mapped: a file that shrinks while it is read is then an
/// error, not a bus fault.
struct FileBytes {
    std::unique_ptr<std::uint8_t[]> data;
    std::size_t size = 0;
    [[nodiscard]] std::span<const std::uint8_t> span() const { return {data.get(), size}; }
};

/// Error{file} when `file` cannot be opened, is no regular file, or holds more than `max_bytes`.
/// Opening never waits, whatever the name stands for.
[[nodiscard]] FileBytes file_bytes(const std::filesystem::path& file, std::uint64_t max_bytes);

}  // namespace paleproof::codec
