// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <string>

#include "codec/face_rows.h"
#include "codec/png_chunks.h"

namespace paleproof::codec {

/// Rows ready to take the pixels of this PNG: with alpha when it has some, be it from tRNS.
[[nodiscard]] FaceRows png_rows(const PngChunks& png, color::ToSrgb conversion);

/// Decodes all pixels into `rows`, which png_rows() made. Error{format} when the pixels are damaged
/// or not all there.
///
/// Files of 8 bits without interlace, and without tRNS but on palettes, take a short way: all of
/// the pixel data are inflated at once (libdeflate) and the row filters undone here. All others,
/// and those on which the short way stumbles, go through libpng, whose verdict holds.
void decode_png(std::span<const std::uint8_t> file, const PngChunks& png, FaceRows& rows,
                const std::string& subject);

/// The two ways, for tests and benchmarks. The short one returns false when it does not apply or
/// the data are damaged; `rows` may be partly filled then.
[[nodiscard]] bool decode_png_at_once(const PngChunks& png, FaceRows& rows);
void decode_png_by_libpng(std::span<const std::uint8_t> file, const PngChunks& png, FaceRows& rows,
                          const std::string& subject);

}  // namespace paleproof::codec
