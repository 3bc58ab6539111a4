// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "core/deck.h"

namespace paleproof::codec {

/// What a file may ask for at most, checked before anything of that size is allocated.
struct ReadLimits {
    std::uint64_t max_pixels = 120'000'000;
    int max_side = 65'500;                              ///< pixels; the most that JPEG can state
    std::uint64_t max_file_bytes = 1ULL << 30U;         ///< 1 GiB
    std::size_t max_profile_bytes = 16U * 1024 * 1024;  ///< color profile, after inflation
    int max_scans = 500;                                ///< passes over a progressive JPEG
    /// Scans times pixels of a progressive JPEG: bounds the time that a tiny file can cost.
    std::uint64_t max_scan_pixels = 6'000'000'000;
};

/// What the file says of itself.
struct FileFacts {
    std::string format;        ///< "PNG" or "JPEG", by its first bytes, whatever it is called
    SizePx stored;             ///< before it is turned upright
    int bits = 8;              ///< per channel: 1, 2, 4, 8 or 16
    int channels = 3;          ///< in the file, alpha included; 1 for a palette
    Ppi ppi;                   ///< declared; 0 = nothing usable
    int orientation = 1;       ///< EXIF 2.32, tag 0x0112: 1..8
    bool had_profile = false;  ///< an ICC profile is embedded, usable or not
    std::string profile_name;  ///< as PNG's iCCP chunk calls it, "" for JPEG
};

struct ReadFace {
    Face face;                       ///< see core/deck.h
    std::vector<std::string> notes;  ///< what was passed over, one sentence each; often empty
    FileFacts facts;
};

struct FaceHeader {
    SizePx size;  ///< upright
    Ppi ppi;      ///< declared; 0 = nothing usable
    std::vector<std::string> notes;
    FileFacts facts;
};

/// The picture in a PNG or JPEG file, upright, as sRGB or (from gray files) gray, 8 bits a channel.
///
/// Reads      PNG of every color type, depth and interlace; JPEG baseline, progressive, gray, RGB,
///            CMYK, YCCK, every subsampling with whole-number ratios. The first bytes decide.
/// Size       ppi from pHYs or JFIF density, else EXIF. Values whose x and y differ by under 1 %
///            are averaged; other unequal ones, and those outside 10..12,000 ppi, count as not
///            stated, with a note. 72 and 96 are kept as they are.
/// Turning    EXIF orientation 1..8 of JPEG APP1 and PNG eXIf.
/// Color      PNG: cICP, iCCP, sRGB, gAMA and cHRM, in this order (PNG specification, third
///            edition, 4.3); JPEG: ICC profile of APP2; CMYK without one: the coated profile.
///            A profile that cannot be used is passed over with a note. 16 bits become 8 after
///            the conversion, rounded to nearest.
/// Alpha      composited on paper white after the color conversion, on sRGB-encoded values, as
///            drawing programs show it; kept in Face::mask when some pixel is not opaque.
/// Errors     Error{file} when it cannot be opened, is no regular file (never waits on a pipe) or
///            is larger than allowed; Error{format} when it is neither format, damaged or cut
///            short; Error{unsupported} for what PNG and JPEG allow and this does not; Error{range}
///            for more pixels than `limits` allow. Subject = the path (or `name`).
/// Threads    any number at once.
[[nodiscard]] ReadFace read_face(const std::filesystem::path& file, const ReadLimits& limits = {});

/// The same from memory; `name` names the face and is the subject of errors.
[[nodiscard]] ReadFace read_face(std::span<const std::uint8_t> bytes, const std::string& name,
                                 const ReadLimits& limits = {});

/// Size and resolution without decoding pixels: reads the file, but costs well under a millisecond.
/// A file whose header is good can still be damaged further on. Errors as for read_face.
[[nodiscard]] FaceHeader read_face_header(const std::filesystem::path& file,
                                          const ReadLimits& limits = {});
[[nodiscard]] FaceHeader read_face_header(std::span<const std::uint8_t> bytes,
                                          const std::string& name, const ReadLimits& limits = {});

}  // namespace paleproof::codec
