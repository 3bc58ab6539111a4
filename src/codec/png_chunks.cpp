// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/png_chunks.h"

#include <libdeflate.h>

#include <algorithm>
#include <array>
#include <string_view>

#include "codec/big_endian.h"
#include "codec/source_facts.h"
#include "core/error.h"

namespace paleproof::codec {
namespace {

using Bytes = std::span<const std::uint8_t>;

constexpr std::array<std::uint8_t, 8> signature{0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
constexpr std::uint32_t longest_chunk = 0x7FFFFFFF;
/// A gigabyte file can hold 80 million chunks of one byte; from here on libpng walks them alone.
constexpr std::size_t most_idats = 100'000;

struct Chunk {
    std::string_view type;
    Bytes data;
    bool intact = true;
};

/// Depths that a color type may have (PNG specification, table 11.1).
bool possible(unsigned color, unsigned bits) {
    switch (color) {
        case 0:
            return bits == 1 || bits == 2 || bits == 4 || bits == 8 || bits == 16;
        case 3:
            return bits == 1 || bits == 2 || bits == 4 || bits == 8;
        case 2:
        case 4:
        case 6:
            return bits == 8 || bits == 16;
        default:
            return false;
    }
}

void read_header(const Chunk& chunk, PngChunks& png, const std::string& subject,
                 const ReadLimits& limits) {
    const Bytes data = chunk.data;
    if (chunk.type != "IHDR" || data.size() != 13) {
        throw Error(ErrorKind::format, subject,
                    "expected a PNG header after the signature, found another chunk; the file is "
                    "damaged");
    }
    if (!chunk.intact) {
        throw Error(ErrorKind::format, subject,
                    "expected a PNG header with a right checksum, found a wrong one; the file is "
                    "damaged");
    }
    const unsigned bits = data[8];
    const unsigned color = data[9];
    if (!possible(color, bits) || data[10] != 0 || data[11] != 0 || data[12] > 1) {
        throw Error(ErrorKind::format, subject,
                    "expected a depth and color type of PNG, found depth " + std::to_string(bits) +
                        ", color type " + std::to_string(color) + ", compression " +
                        std::to_string(data[10]) + ", filter " + std::to_string(data[11]) +
                        ", interlace " + std::to_string(data[12]));
    }
    png.width = big_u32(data, 0);
    png.height = big_u32(data, 4);
    check_size(png.width, png.height, limits, subject);
    png.bits = static_cast<int>(bits);
    png.color = static_cast<PngColor>(color);
    png.interlaced = data[12] == 1;
}

/// What is wrong with a tRNS chunk, "" when it is right (PNG specification, third edition,
/// 11.3.1.1): one sample a channel, one alpha a palette entry at most, none where alpha is stored.
std::string fault_of_transparency(Bytes data, const PngChunks& png) {
    const std::size_t size = data.size();
    const auto expected = [size](const std::string& what) {
        return "expected " + what + ", found " + std::to_string(size);
    };
    switch (png.color) {
        case PngColor::gray:
            return size == 2 ? "" : expected("2 bytes");
        case PngColor::rgb:
            return size == 6 ? "" : expected("6 bytes");
        case PngColor::palette:
            if (png.palette.empty()) return "expected it after the palette";
            return size > 0 && size <= png.palette.size() / 3
                       ? ""
                       : expected("1 to " + std::to_string(png.palette.size() / 3) + " bytes");
        default:
            return "expected none beside stored alpha";
    }
}

void read_transparency(Bytes data, PngChunks& png, std::vector<std::string>& notes) {
    std::string fault = fault_of_transparency(data, png);
    if (fault.empty() && png.transparency) fault = "expected one, found two";
    if (fault.empty()) {
        png.transparency = data;
    } else {
        notes.push_back("transparency (tRNS) passed over: " + fault);
    }
}

void read_palette(Bytes data, PngChunks& png, std::vector<std::string>& notes) {
    if (!png.palette.empty()) {
        png.plain = false;  // libpng words it
        return;
    }
    png.palette = data;
    if (png.transparency) {
        png.transparency.reset();
        notes.emplace_back("transparency (tRNS) passed over: expected it after the palette");
    }
}

/// Chunks that must precede the pixels.
void read_early(const Chunk& chunk, PngChunks& png, std::vector<std::string>& notes) {
    const Bytes data = chunk.data;
    if (chunk.type == "cICP" && data.size() == 4 && !png.cicp) {
        png.cicp = color::Cicp{data[0], data[1], data[2], data[3]};
    } else if (chunk.type == "iCCP" && !png.iccp) {
        png.iccp = data;
    } else if (chunk.type == "sRGB" && data.size() == 1) {
        png.srgb = true;
    } else if (chunk.type == "gAMA" && data.size() == 4 && !png.gamma) {
        png.gamma = big_u32(data, 0) / 100000.0;
    } else if (chunk.type == "cHRM" && data.size() == 32 && !png.primaries) {
        const auto at = [&](std::size_t i) { return big_u32(data, 4 * i) / 100000.0; };
        png.primaries =
            color::Chromaticities{at(0), at(1), at(2), at(3), at(4), at(5), at(6), at(7)};
    } else if (chunk.type == "pHYs" && data.size() == 9 && data[8] == 1 && png.x_ppi == 0.0) {
        constexpr double metre_per_inch = 0.0254;
        png.x_ppi = big_u32(data, 0) * metre_per_inch;
        png.y_ppi = big_u32(data, 4) * metre_per_inch;
    } else if (chunk.type == "tRNS") {
        read_transparency(data, png, notes);
    } else if (chunk.type == "PLTE") {
        read_palette(data, png, notes);
    }
}

/// PNG specification, third edition, 11.2.2.
void check_palette(const PngChunks& png, const std::string& subject) {
    constexpr std::size_t most_entries = 256;
    const std::size_t size = png.palette.size();
    if (size == 0) {
        throw Error(ErrorKind::format, subject,
                    "expected a palette (PLTE) before the pixels, found none");
    }
    if (size % 3 != 0 || size / 3 > most_entries) {
        throw Error(
            ErrorKind::format, subject,
            "expected a palette of 1 to 256 colors, found " + std::to_string(size) + " bytes");
    }
}

bool critical(std::string_view type) { return type[0] >= 'A' && type[0] <= 'Z'; }

/// Chunk types are four ASCII letters (PNG specification, third edition, 5.3).
bool proper(std::string_view type) {
    return std::all_of(type.begin(), type.end(),
                       [](char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); });
}

/// One note for all damaged chunks: a file can hold millions.
void note_damage(std::size_t count, std::string_view first, std::vector<std::string>& notes) {
    if (count == 1) {
        notes.push_back("chunk " + std::string(first) + " passed over: its checksum is wrong");
    } else if (count > 1) {
        notes.push_back(std::to_string(count) +
                        " chunks passed over: their checksums are wrong; the first is " +
                        std::string(first));
    }
}

}  // namespace

int PngChunks::channels() const {
    switch (color) {
        case PngColor::gray_alpha:
            return 2;
        case PngColor::rgb:
            return 3;
        case PngColor::rgb_alpha:
            return 4;
        default:
            return 1;
    }
}

bool is_png(Bytes bytes) {
    return bytes.size() >= signature.size() &&
           std::equal(signature.begin(), signature.end(), bytes.begin());
}

PngChunks png_chunks(Bytes bytes, const std::string& subject, const ReadLimits& limits,
                     bool verify_pixels, std::vector<std::string>& notes) {
    PngChunks png;
    std::size_t at = signature.size();
    bool first = true;
    bool after_pixels = false;
    std::size_t damaged = 0;
    std::string_view first_damaged;
    bool ended = false;
    while (!ended) {
        if (bytes.size() - at < 12) {
            break;
        }
        const std::uint32_t length = big_u32(bytes, at);
        Chunk chunk;
        chunk.type = {reinterpret_cast<const char*>(bytes.data()) + at + 4, 4};
        if (length > longest_chunk || bytes.size() - at - 12 < length) {
            break;
        }
        chunk.data = bytes.subspan(at + 8, length);
        if (chunk.type != "IDAT" || verify_pixels) {
            chunk.intact = libdeflate_crc32(0, bytes.data() + at + 4, length + 4U) ==
                           big_u32(bytes, at + 8 + length);
        }
        at += 12U + length;
        if (first) {
            read_header(chunk, png, subject, limits);
            first = false;
        } else if (chunk.type == "IDAT") {
            png.plain = png.plain && chunk.intact && !after_pixels && png.idat.size() < most_idats;
            if (png.idat.size() < most_idats) {
                png.idat.push_back(chunk.data);
            }
            continue;
        } else if (chunk.type == "IEND") {
            ended = true;
            png.plain = png.plain && chunk.intact;
        } else if (!proper(chunk.type) || (!chunk.intact && critical(chunk.type))) {
            png.plain = false;
        } else if (!chunk.intact) {
            first_damaged = damaged++ == 0 ? chunk.type : first_damaged;
        } else if (chunk.type == "eXIf" && !png.exif) {
            png.exif = chunk.data;
        } else if (png.idat.empty()) {
            read_early(chunk, png, notes);
            png.plain = png.plain && (!critical(chunk.type) || chunk.type == "PLTE");
        } else {
            png.plain = png.plain && !critical(chunk.type);
        }
        after_pixels = !png.idat.empty();
    }
    note_damage(damaged, first_damaged, notes);
    if (first) {
        throw Error(ErrorKind::format, subject,
                    "expected a PNG header after the signature, found the end of the file");
    }
    if (!ended) {
        throw Error(
            ErrorKind::format, subject,
            "expected the closing chunk (IEND), found the end of the file: it is cut short");
    }
    if (png.idat.empty()) {
        throw Error(ErrorKind::format, subject, "expected pixels (IDAT), found none");
    }
    if (png.color == PngColor::palette) {
        check_palette(png, subject);
    }
    return png;
}

}  // namespace paleproof::codec
