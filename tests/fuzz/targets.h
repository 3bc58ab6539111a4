// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <span>

namespace paleproof::fuzz {

/// What reads bytes from outside. Each takes any bytes, and ends in a result or in an Error of
/// another kind than internal; anything else stops the program.
void png(std::span<const std::uint8_t> bytes);
void jpeg(std::span<const std::uint8_t> bytes);
void icc(std::span<const std::uint8_t> bytes);
void exif(std::span<const std::uint8_t> bytes);
void csv(std::span<const std::uint8_t> bytes);
void toml(std::span<const std::uint8_t> bytes);
void record(std::span<const std::uint8_t> bytes);

}  // namespace paleproof::fuzz
