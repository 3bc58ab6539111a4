// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Between PackedImage and PNG files: chunks and checksums only, nothing is compressed here.
#include <libdeflate.h>

#include <algorithm>
#include <cmath>
#include <string_view>

#include "codec/atomic_file.h"
#include "codec/big_endian.h"
#include "codec/file_bytes.h"
#include "codec/pack.h"
#include "codec/png_chunks.h"
#include "core/error.h"

namespace paleproof::codec {
namespace {

constexpr double metre_per_inch = 0.0254;

void append(std::vector<std::uint8_t>& png, std::string_view type,
            std::span<const std::uint8_t> data) {
    append_u32(png, static_cast<std::uint32_t>(data.size()));
    const std::size_t start = png.size();
    png.insert(png.end(), type.begin(), type.end());
    png.insert(png.end(), data.begin(), data.end());
    append_u32(png, libdeflate_crc32(0, png.data() + start, png.size() - start));
}

void append_numbers(std::vector<std::uint8_t>& png, std::string_view type,
                    std::initializer_list<std::uint32_t> numbers) {
    std::vector<std::uint8_t> data;
    for (const std::uint32_t number : numbers) {
        append_u32(data, number);
    }
    append(png, type, data);
}

}  // namespace

std::vector<std::uint8_t> encoded_png(const PackedImage& image) {
    constexpr std::size_t idat_bytes = 1U << 20U;
    constexpr std::size_t room_for_heads = 256;
    std::vector<std::uint8_t> png{0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
    png.reserve(image.zlib.size() + image.zlib.size() / idat_bytes * 12 + room_for_heads);

    std::vector<std::uint8_t> header;
    append_u32(header, static_cast<std::uint32_t>(image.width));
    append_u32(header, static_cast<std::uint32_t>(image.height));
    const auto color = image.channels == 3 ? PngColor::rgb : PngColor::gray;
    header.insert(header.end(), {static_cast<std::uint8_t>(image.bits),
                                 static_cast<std::uint8_t>(color), 0, 0, 0});
    append(png, "IHDR", header);
    // PNG specification, third edition, 11.3.2.5: what goes with sRGB for readers without it.
    constexpr std::uint8_t perceptual = 0;
    append(png, "sRGB", {{perceptual}});
    append_numbers(png, "gAMA", {45455});
    if (image.channels == 3) {
        append_numbers(png, "cHRM", {31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000});
    }
    if (image.ppi.value > 0.0) {
        std::vector<std::uint8_t> density;
        const auto per_metre =
            static_cast<std::uint32_t>(std::lround(image.ppi.value / metre_per_inch));
        append_u32(density, per_metre);
        append_u32(density, per_metre);
        density.push_back(1);
        append(png, "pHYs", density);
    }
    const std::span<const std::uint8_t> stream(image.zlib);
    for (std::size_t at = 0; at < stream.size(); at += idat_bytes) {
        append(png, "IDAT", stream.subspan(at, std::min(idat_bytes, stream.size() - at)));
    }
    append(png, "IEND", {});
    return png;
}

void write_png(const std::filesystem::path& file, const PackedImage& image) {
    write_file(file, encoded_png(image));
}

PackedImage packed_from_png(std::span<const std::uint8_t> bytes, const std::string& name) {
    if (!is_png(bytes)) {
        throw Error(ErrorKind::format, name, "expected a PNG file, found another kind of file");
    }
    std::vector<std::string> notes;
    const PngChunks png = png_chunks(bytes, name, {}, true, notes);
    if (!png.plain || !notes.empty()) {
        throw Error(ErrorKind::format, name,
                    "expected a whole PNG file, found a damaged one" +
                        (notes.empty() ? std::string() : ": " + notes.front()) +
                        "; make the edition again");
    }
    const bool gray = png.color == PngColor::gray && (png.bits == 8 || png.bits == 1);
    const bool rgb = png.color == PngColor::rgb && png.bits == 8;
    if (!(gray || rgb) || png.interlaced || png.transparency || png.iccp || png.cicp || !png.srgb) {
        throw Error(ErrorKind::format, name,
                    "expected a face as paleproof writes it (PNG, gray or sRGB, no alpha, no "
                    "profile), found another kind of PNG; make the edition again");
    }
    PackedImage image;
    image.width = static_cast<int>(png.width);
    image.height = static_cast<int>(png.height);
    image.channels = png.channels();
    image.bits = png.bits;
    image.ppi = {png.x_ppi};
    for (const auto& part : png.idat) {
        image.zlib.insert(image.zlib.end(), part.begin(), part.end());
    }
    return image;
}

PackedImage packed_from_png(const std::filesystem::path& file) {
    const FileBytes bytes = file_bytes(file, ReadLimits{}.max_file_bytes);
    return packed_from_png(bytes.span(), file.string());
}

}  // namespace paleproof::codec
