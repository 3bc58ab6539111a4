// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The short way through a PNG: one inflation, then the row filters of the PNG specification (third
// edition, 9.2).
#include <libdeflate.h>

#include <algorithm>
#include <memory>
#include <vector>

#include "codec/png_filter.h"
#include "codec/png_pixels.h"

namespace paleproof::codec {
namespace {

struct FreeDecompressor {
    void operator()(libdeflate_decompressor* d) const { libdeflate_free_decompressor(d); }
};

/// Above this the filtered rows are better not kept whole: libpng takes them one by one.
constexpr std::size_t most_bytes = 128U * 1024 * 1024;

/// The IDATs as one run of bytes; copied only when there are several.
std::span<const std::uint8_t> joined(const std::vector<std::span<const std::uint8_t>>& parts,
                                     std::vector<std::uint8_t>& store) {
    if (parts.size() == 1) {
        return parts.front();
    }
    std::size_t size = 0;
    for (const auto& part : parts) {
        size += part.size();
    }
    store.reserve(size);
    for (const auto& part : parts) {
        store.insert(store.end(), part.begin(), part.end());
    }
    return store;
}

}  // namespace

bool decode_png_at_once(const PngChunks& png, FaceRows& rows) {
    const bool indexed = png.color == PngColor::palette;
    if (!png.plain || png.bits != 8 || png.interlaced || (png.transparency && !indexed)) {
        return false;
    }
    const auto channels = static_cast<std::size_t>(png.channels());
    const std::size_t stride = png.width * channels;
    const std::size_t size = (stride + 1) * png.height;
    if (size > most_bytes) {
        return false;
    }
    const std::unique_ptr<libdeflate_decompressor, FreeDecompressor> inflate(
        libdeflate_alloc_decompressor());
    if (!inflate) {
        throw std::bad_alloc();
    }
    std::vector<std::uint8_t> store;
    const std::span<const std::uint8_t> stream = joined(png.idat, store);
    const auto filtered = std::make_unique_for_overwrite<std::uint8_t[]>(size);
    if (libdeflate_zlib_decompress(inflate.get(), stream.data(), stream.size(), filtered.get(),
                                   size, nullptr) != LIBDEFLATE_SUCCESS) {
        return false;
    }
    const std::vector<std::uint8_t> zeros(stride);
    const std::uint8_t* above = zeros.data();
    const auto height = static_cast<int>(png.height);
    for (int y = 0; y < height; ++y) {
        std::uint8_t* in = filtered.get() + static_cast<std::size_t>(y) * (stride + 1);
        std::uint8_t* out = rows.direct() ? rows.row(y) : in + 1;
        if (!unfilter(in[0], in + 1, above, out, stride, channels)) {
            return false;
        }
        // The row above must stay as it was decoded until this one is done.
        if (rows.direct() && y > 0) {
            rows.settle(y - 1);
        } else if (indexed && !rows.put_indices(y, out)) {
            return false;
        } else if (!rows.direct() && !indexed) {
            rows.put(y, out);
        }
        above = out;
    }
    if (rows.direct()) {
        rows.settle(height - 1);
    }
    return true;
}

}  // namespace paleproof::codec
