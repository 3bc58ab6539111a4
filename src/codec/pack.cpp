// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/pack.h"

#include <libdeflate.h>

#include <algorithm>
#include <cstring>
#include <memory>
#include <new>

#include "codec/png_filter.h"
#include "core/error.h"

namespace paleproof::codec {
namespace {

struct FreeCompressor {
    void operator()(libdeflate_compressor* c) const { libdeflate_free_compressor(c); }
};

/// Rows of a bilevel picture, 8 pixels a byte, first pixel in the highest bit, no filter: rows of
/// bits have no neighbor bytes to predict from.
std::vector<std::uint8_t> bit_rows(const Image& image) {
    const auto width = static_cast<std::size_t>(image.width());
    const std::size_t stride = (width + 7) / 8;
    const auto height = static_cast<std::size_t>(image.height());
    std::vector<std::uint8_t> rows((stride + 1) * height);
    for (std::size_t y = 0; y < height; ++y) {
        const std::uint8_t* in = image.row(static_cast<int>(y));
        std::uint8_t* out = rows.data() + y * (stride + 1) + 1;
        for (std::size_t x = 0; x < width; ++x) {
            const unsigned bit = in[x] >= 128 ? 0x80U >> (x % 8) : 0U;
            out[x / 8] = static_cast<std::uint8_t>(out[x / 8] | bit);
        }
    }
    return rows;
}

std::vector<std::uint8_t> byte_rows(const Image& image) {
    const std::size_t stride = image.stride();
    const auto height = static_cast<std::size_t>(image.height());
    std::vector<std::uint8_t> rows((stride + 1) * height);
    for (std::size_t y = 0; y < height; ++y) {
        const std::uint8_t* in = image.row(static_cast<int>(y));
        std::uint8_t* out = rows.data() + y * (stride + 1);
        out[0] = static_cast<std::uint8_t>(y == 0 ? PngFilter::none : PngFilter::up);
        const std::uint8_t* above = y == 0 ? nullptr : in - stride;
        for (std::size_t x = 0; x < stride; ++x) {
            out[x + 1] = static_cast<std::uint8_t>(in[x] - (above != nullptr ? above[x] : 0));
        }
    }
    return rows;
}

std::vector<std::uint8_t> zlib_stream(std::span<const std::uint8_t> bytes, int level) {
    const std::unique_ptr<libdeflate_compressor, FreeCompressor> deflate(
        libdeflate_alloc_compressor(level));
    if (!deflate) {
        throw std::bad_alloc();
    }
    std::vector<std::uint8_t> stream(libdeflate_zlib_compress_bound(deflate.get(), bytes.size()));
    const std::size_t size = libdeflate_zlib_compress(deflate.get(), bytes.data(), bytes.size(),
                                                      stream.data(), stream.size());
    if (size == 0) {
        throw Error(ErrorKind::internal, "pack", "the compressor found its buffer too small");
    }
    stream.resize(size);
    stream.shrink_to_fit();
    return stream;
}

}  // namespace

PackedImage packed(const Image& image, PackLevel level) {
    if (image.empty()) {
        throw Error(ErrorKind::internal, "pack", "expected a picture, found an empty one");
    }
    PackedImage result;
    result.width = image.width();
    result.height = image.height();
    result.channels = image.channels();
    result.bits = image.encoding() == Encoding::bilevel ? 1 : 8;
    result.ppi = image.ppi();
    result.zlib = zlib_stream(result.bits == 1 ? bit_rows(image) : byte_rows(image),
                              level == PackLevel::fast ? 1 : 9);
    return result;
}

}  // namespace paleproof::codec
