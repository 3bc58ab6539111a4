// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <libdeflate.h>

#include <algorithm>
#include <memory>
#include <vector>

#include "codec/big_endian.h"
#include "codec/png_chunks.h"
#include "codec/source_facts.h"
#include "core/error.h"
#include "core/utf8.h"

namespace paleproof::codec {
namespace {

using Bytes = std::span<const std::uint8_t>;

struct FreeDecompressor {
    void operator()(libdeflate_decompressor* d) const { libdeflate_free_decompressor(d); }
};

/// Latin-1, as PNG has it, to UTF-8; control characters become blanks.
std::string utf8(Bytes latin1) {
    std::string text;
    for (const std::uint8_t c : latin1) {
        const bool control = is_control(c);
        if (c < 0x80 || control) {
            text += control ? ' ' : static_cast<char>(c);
        } else {
            text += static_cast<char>(0xC0U | c >> 6U);
            text += static_cast<char>(0x80U | (c & 0x3FU));
        }
    }
    return text;
}

/// iCCP: name, 0, method 0, zlib stream (PNG specification, 11.3.2.3). Empty and a note when the
/// stream does not hold what its own ICC header announces.
std::vector<std::uint8_t> inflated_profile(Bytes chunk, std::size_t max_bytes, std::string& name,
                                           std::vector<std::string>& notes) {
    constexpr std::size_t longest_name = 79;
    constexpr std::size_t icc_header = 128;
    const auto end = std::find(chunk.begin(), chunk.end(), std::uint8_t{0});
    const auto name_length = static_cast<std::size_t>(end - chunk.begin());
    if (name_length == 0 || name_length > longest_name || chunk.size() < name_length + 2 ||
        chunk[name_length + 1] != 0) {
        notes.emplace_back("color profile passed over: its chunk (iCCP) is damaged");
        return {};
    }
    name = utf8(chunk.first(name_length));
    const Bytes stream = chunk.subspan(name_length + 2);
    const std::unique_ptr<libdeflate_decompressor, FreeDecompressor> inflate(
        libdeflate_alloc_decompressor());
    if (!inflate) {
        throw std::bad_alloc();
    }
    // The first four bytes of a profile state its size, yet the stream has to be opened to see
    // them: begin with room for usual profiles and go on with four times as much.
    std::vector<std::uint8_t> profile;
    std::size_t size = 0;
    libdeflate_result result = LIBDEFLATE_INSUFFICIENT_SPACE;
    for (std::size_t room = std::min<std::size_t>(64U * 1024, max_bytes);
         result == LIBDEFLATE_INSUFFICIENT_SPACE; room = std::min(4 * room, max_bytes)) {
        if (profile.size() == max_bytes) {
            notes.push_back("color profile passed over: expected at most " +
                            std::to_string(max_bytes >> 10U) + " KiB, found more");
            return {};
        }
        profile.resize(room);
        result = libdeflate_zlib_decompress(inflate.get(), stream.data(), stream.size(),
                                            profile.data(), profile.size(), &size);
    }
    if (result != LIBDEFLATE_SUCCESS || size < icc_header) {
        notes.emplace_back("color profile passed over: its compressed data are damaged");
        return {};
    }
    profile.resize(size);
    return profile;
}

}  // namespace

color::ToSrgb png_conversion(const PngChunks& png, const ReadLimits& limits, FileFacts& facts,
                             std::vector<std::string>& notes) {
    const auto space = png.color == PngColor::gray || png.color == PngColor::gray_alpha
                           ? color::SourceSpace::gray
                           : color::SourceSpace::rgb;
    if (png.iccp) {
        facts.had_profile = true;
    }
    if (png.cicp) {
        if (const auto conversion = color::ToSrgb::from_cicp(*png.cicp, space)) {
            return *conversion;
        }
        notes.push_back("color chunk cICP passed over: primaries " +
                        std::to_string(png.cicp->primaries) + ", transfer " +
                        std::to_string(png.cicp->transfer) + " are not handled");
    }
    if (png.iccp) {
        const auto profile =
            inflated_profile(*png.iccp, limits.max_profile_bytes, facts.profile_name, notes);
        if (!profile.empty()) {
            if (const auto conversion = profile_conversion(profile, space, notes)) {
                return *conversion;
            }
        }
    }
    if (!png.srgb && (png.gamma || png.primaries)) {
        constexpr double gamma_of_srgb = 0.45455;
        try {
            return color::ToSrgb::from_gamma(space, png.gamma.value_or(gamma_of_srgb),
                                             png.primaries);
        } catch (const Error& error) {
            if (error.kind() != ErrorKind::format) {
                throw;
            }
            notes.push_back("color chunks gAMA and cHRM passed over: " + error.detail());
        }
    }
    return color::ToSrgb::srgb(space);
}

}  // namespace paleproof::codec
