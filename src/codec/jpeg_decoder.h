// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "codec/face_rows.h"
#include "codec/read_face.h"

namespace paleproof::codec {

/// True when `bytes` begin as every JPEG file does: SOI and the start of another marker.
[[nodiscard]] bool is_jpeg(std::span<const std::uint8_t> bytes);

/// One JPEG file on its way: the header at once, the pixels on demand. All of libjpeg stays behind
/// this class; its errors come out as Error, its exits do not happen.
class JpegDecoder {
  public:
    /// Reads up to the first scan. Error{format} for a damaged header, Error{unsupported} for
    /// lossless, 12-bit or otherwise unusual JPEG, Error{range} by check_size(). Adds notes.
    /// `bytes`, `limits` and `notes` must outlive the decoder.
    JpegDecoder(std::span<const std::uint8_t> bytes, const std::string& subject,
                const ReadLimits& limits, std::vector<std::string>& notes);
    ~JpegDecoder();
    JpegDecoder(const JpegDecoder&) = delete;
    JpegDecoder& operator=(const JpegDecoder&) = delete;

    [[nodiscard]] const FileFacts& facts() const;

    /// The conversion that the file asks for: its profile, else sRGB, or `coated` for CMYK.
    [[nodiscard]] color::ToSrgb conversion() const;

    /// Decodes all rows. Error{format} when data are damaged or missing: a gray patch must never
    /// pass for art. Once only.
    void decode(FaceRows& rows);

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace paleproof::codec
