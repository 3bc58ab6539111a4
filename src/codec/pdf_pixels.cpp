// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/pdf_pixels.h"

#include <libdeflate.h>

#include <algorithm>
#include <memory>
#include <new>
#include <string>
#include <vector>

#include "codec/group4.h"
#include "codec/png_filter.h"
#include "core/error.h"

namespace paleproof::codec {
namespace {

constexpr int deflate_level = 1;  // as PackLevel::fast

std::vector<std::uint8_t> inflated(const PackedImage& packed, std::size_t size,
                                   const std::string& name) {
    const std::unique_ptr<libdeflate_decompressor, decltype(&libdeflate_free_decompressor)> inflate(
        libdeflate_alloc_decompressor(), &libdeflate_free_decompressor);
    if (!inflate) throw std::bad_alloc();
    std::vector<std::uint8_t> rows(size);
    std::size_t found = 0;
    if (libdeflate_zlib_decompress(inflate.get(), packed.zlib.data(), packed.zlib.size(),
                                   rows.data(), rows.size(), &found) != LIBDEFLATE_SUCCESS ||
        found != size) {
        throw Error(ErrorKind::format, name,
                    "expected the pixels of a whole picture, found damaged ones; make the edition "
                    "again");
    }
    return rows;
}

}  // namespace

Image unpacked(const PackedImage& packed, const std::string& name) {
    if (packed.group4 || packed.channels > 3) {
        throw Error(ErrorKind::internal, name, "expected a picture packed as in a PNG");
    }
    const bool bilevel = packed.bits == 1;
    Image image(packed.width, packed.height,
                packed.channels == 3 ? Encoding::srgb
                : bilevel            ? Encoding::bilevel
                                     : Encoding::gray,
                packed.ppi);
    const auto width = static_cast<std::size_t>(packed.width);
    const std::size_t stride = bilevel ? (width + 7) / 8 : image.stride();
    std::vector<std::uint8_t> rows =
        inflated(packed, (stride + 1) * static_cast<std::size_t>(packed.height), name);
    const std::vector<std::uint8_t> zeros(stride);
    const std::uint8_t* above = zeros.data();
    for (int y = 0; y < packed.height; ++y) {
        std::uint8_t* row = rows.data() + static_cast<std::size_t>(y) * (stride + 1);
        if (!unfilter(row[0], row + 1, above, row + 1, stride,
                      static_cast<std::size_t>(packed.channels))) {
            throw Error(ErrorKind::format, name, "expected rows with filters of PNG");
        }
        above = row + 1;
        std::uint8_t* out = image.row(y);
        for (std::size_t x = 0; bilevel && x < width; ++x) {
            out[x] = (above[x / 8] & (0x80U >> (x % 8))) != 0 ? 255 : 0;
        }
        if (!bilevel) std::copy(above, above + stride, out);
    }
    return image;
}

PackedImage as_group4(const PackedImage& packed, const std::string& name) {
    PackedImage result = packed;
    result.zlib = group4(unpacked(packed, name));
    result.group4 = true;
    return result;
}

PackedImage packed_inks(std::span<const std::uint8_t> cmyk, SizePx size, Ppi ppi) {
    constexpr std::size_t inks = 4;
    const std::size_t stride = static_cast<std::size_t>(size.width) * inks;
    const auto height = static_cast<std::size_t>(size.height);
    if (stride == 0 || cmyk.size() != stride * height || cmyk.empty()) {
        throw Error(ErrorKind::internal, "pack", "expected four inks a pixel");
    }
    std::vector<std::uint8_t> rows((stride + 1) * height);
    for (std::size_t y = 0; y < height; ++y) {
        const std::uint8_t* row = cmyk.data() + y * stride;
        const std::uint8_t* above = y == 0 ? row : row - stride;
        const PngFilter filter = y == 0 ? PngFilter::sub : PngFilter::up;
        std::uint8_t* out = rows.data() + y * (stride + 1);
        out[0] = static_cast<std::uint8_t>(filter);
        apply_filter(filter, row, above, out + 1, stride, inks);
    }
    const std::unique_ptr<libdeflate_compressor, decltype(&libdeflate_free_compressor)> deflate(
        libdeflate_alloc_compressor(deflate_level), &libdeflate_free_compressor);
    if (!deflate) throw std::bad_alloc();
    PackedImage result{.width = size.width,
                       .height = size.height,
                       .channels = static_cast<int>(inks),
                       .bits = 8,
                       .ppi = ppi,
                       .zlib = {}};
    result.zlib.resize(libdeflate_zlib_compress_bound(deflate.get(), rows.size()));
    result.zlib.resize(libdeflate_zlib_compress(deflate.get(), rows.data(), rows.size(),
                                                result.zlib.data(), result.zlib.size()));
    return result;
}

}  // namespace paleproof::codec
