// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>

namespace paleproof::codec {

/// Row filters of PNG (PNG specification, third edition, 9.2). All arithmetic is modulo 256.
enum class PngFilter : std::uint8_t { none = 0, sub = 1, up = 2, average = 3, paeth = 4 };

/// Undoes filter `type` over `count` bytes: `in` is the filtered row without its filter byte,
/// `above` the row before (zeros for the first), `out` may be `in`. `channels` = 1..4 = bytes a
/// pixel. False for an unknown type.
[[nodiscard]] bool unfilter(unsigned type, const std::uint8_t* in, const std::uint8_t* above,
                            std::uint8_t* out, std::size_t count, std::size_t channels);

/// Applies `filter` to a row of `count` bytes; arguments as for unfilter(), but `out` apart from
/// both. Returns the sum of the magnitudes of `out` read as signed bytes: the smaller, the better
/// it packs (heuristic of the PNG specification, third edition, 12.7).
std::uint64_t apply_filter(PngFilter filter, const std::uint8_t* row, const std::uint8_t* above,
                           std::uint8_t* out, std::size_t count, std::size_t channels);

}  // namespace paleproof::codec
