// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <span>

namespace paleproof::color {

/// The committed CMYK profiles of fixtures/icc, part of the library. How they were made, from what
/// and under which licence: fixtures/icc/README.md.
[[nodiscard]] std::span<const std::uint8_t> uncoated_profile();
[[nodiscard]] std::span<const std::uint8_t> coated_profile();

/// InkTable::values() of the two, relative colorimetric, made when the program was built.
[[nodiscard]] std::span<const std::uint64_t> uncoated_inks();
[[nodiscard]] std::span<const std::uint64_t> coated_inks();

}  // namespace paleproof::color
