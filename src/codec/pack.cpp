// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/pack.h"

#include <libdeflate.h>

#include <algorithm>
#include <array>
#include <limits>
#include <memory>
#include <new>

#include "codec/png_filter.h"
#include "core/error.h"

namespace paleproof::codec {
namespace {

struct FreeCompressor {
    void operator()(libdeflate_compressor* c) const { libdeflate_free_compressor(c); }
};

/// Filtered rows, each behind its filter byte. Not a vector: every byte is written once anyway.
struct Rows {
    std::unique_ptr<std::uint8_t[]> bytes;
    std::size_t size = 0;

    Rows(std::size_t stride, std::size_t height)
        : bytes(std::make_unique_for_overwrite<std::uint8_t[]>((stride + 1) * height)),
          size((stride + 1) * height) {}
};

/// The highest bits of eight bytes, first byte highest. Bytes are 0 or 255: the multiplication
/// moves bit 8 i of the masked number to bit 63 - i; no two meet.
std::uint8_t eight_bits(const std::uint8_t* pixels) {
    std::uint64_t eight = 0;
    for (unsigned i = 0; i < 8; ++i) {
        eight |= std::uint64_t{pixels[i]} << 8 * i;
    }
    return static_cast<std::uint8_t>(((eight & 0x0101010101010101U) * 0x8040201008040201U) >> 56U);
}

/// A bilevel picture, 8 pixels a byte, first pixel in the highest bit. Unfiltered: prediction from
/// neighbor bytes breaks up the repetitions that deflate finds in line art.
Rows bit_rows(const Image& image) {
    const auto width = static_cast<std::size_t>(image.width());
    const auto height = static_cast<std::size_t>(image.height());
    const std::size_t stride = (width + 7) / 8;
    Rows rows(stride, height);
    std::uint8_t* out = rows.bytes.get();
    for (std::size_t y = 0; y < height; ++y) {
        const std::uint8_t* in = image.row(static_cast<int>(y));
        *out++ = static_cast<std::uint8_t>(PngFilter::none);
        std::size_t x = 0;
        for (; x + 8 <= width; x += 8) {
            *out++ = eight_bits(in + x);
        }
        if (x < width) {
            std::array<std::uint8_t, 8> last{};
            std::copy(in + x, in + width, last.begin());
            *out++ = eight_bits(last.data());
        }
    }
    return rows;
}

/// A gray or sRGB picture, each row by the filter that leaves the smallest numbers.
Rows byte_rows(const Image& image, std::span<const PngFilter> filters) {
    const std::size_t stride = image.stride();
    const auto height = static_cast<std::size_t>(image.height());
    const auto channels = static_cast<std::size_t>(image.channels());
    Rows rows(stride, height);
    const std::vector<std::uint8_t> zeros(stride);
    std::vector<std::uint8_t> tried(stride);
    const std::uint8_t* above = zeros.data();
    for (std::size_t y = 0; y < height; ++y) {
        const std::uint8_t* row = image.row(static_cast<int>(y));
        std::uint8_t* out = rows.bytes.get() + y * (stride + 1);
        std::uint64_t least = std::numeric_limits<std::uint64_t>::max();
        for (const PngFilter filter : filters) {
            const std::uint64_t sum =
                apply_filter(filter, row, above, tried.data(), stride, channels);
            if (sum < least) {
                least = sum;
                out[0] = static_cast<std::uint8_t>(filter);
                std::copy(tried.begin(), tried.end(), out + 1);
            }
        }
        above = row;
    }
    return rows;
}

std::vector<std::uint8_t> zlib_stream(const Rows& rows, int level) {
    const std::unique_ptr<libdeflate_compressor, FreeCompressor> deflate(
        libdeflate_alloc_compressor(level));
    if (!deflate) {
        throw std::bad_alloc();
    }
    const std::size_t room = libdeflate_zlib_compress_bound(deflate.get(), rows.size);
    const auto stream = std::make_unique_for_overwrite<std::uint8_t[]>(room);
    const std::size_t size =
        libdeflate_zlib_compress(deflate.get(), rows.bytes.get(), rows.size, stream.get(), room);
    if (size == 0) {
        throw Error(ErrorKind::internal, "pack", "the compressor found its buffer too small");
    }
    return {stream.get(), stream.get() + size};
}

// Measured choice: docs/benchmarks.md, "Packing".
constexpr std::array fast_filters{PngFilter::sub, PngFilter::up, PngFilter::none};
constexpr std::array all_filters{PngFilter::paeth, PngFilter::average, PngFilter::sub,
                                 PngFilter::up, PngFilter::none};
constexpr int fast_level = 1;
constexpr int small_level = 9;

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
    const bool fast = level == PackLevel::fast;
    const Rows rows = result.bits == 1 ? bit_rows(image)
                      : fast           ? byte_rows(image, fast_filters)
                                       : byte_rows(image, all_filters);
    result.zlib = zlib_stream(rows, fast ? fast_level : small_level);
    return result;
}

}  // namespace paleproof::codec
