// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <span>
#include <string>

#include "core/geometry.h"
#include "core/image.h"
#include "core/packed_image.h"

namespace paleproof::codec {

/// The picture that was packed. Error{format} with `name` when the stream is damaged or of another
/// size, Error{internal} when it holds Group 4 data or inks.
[[nodiscard]] Image unpacked(const PackedImage& packed, const std::string& name);

/// A 1-bit picture with its stream replaced by group4(). Errors as for unpacked().
[[nodiscard]] PackedImage as_group4(const PackedImage& packed, const std::string& name);

/// Pixels of four inks (255 = full), row by row, packed for a PDF. Error{internal} when `cmyk` has
/// another count than four a pixel.
[[nodiscard]] PackedImage packed_inks(std::span<const std::uint8_t> cmyk, SizePx size, Ppi ppi);

}  // namespace paleproof::codec
