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

}  // namespace paleproof::color
