// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/thumbnail.h"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <cstring>
#include <vector>

#include "codec/jpeg_encoder.h"
#include "core/error.h"
#include "core/wide.h"

#ifdef __SSE2__
#include <emmintrin.h>
#endif

namespace paleproof::codec {
namespace {

/// The source pixels [first, first + weights.size()) that make one target pixel, and their shares.
struct Span {
    int first = 0;
    std::vector<std::uint16_t> weights;
};

/// Exact shares cut to whole numbers at their running sums, so that those of each target pixel add
/// up to `whole` without a rounding error that could show as a step in flat areas.
///
/// In units of 1 / target, source pixel i covers [i target, (i + 1) target) and target pixel j
/// covers [j source, (j + 1) source).
std::vector<Span> spans(std::int64_t source, std::int64_t target, std::int64_t whole) {
    std::vector<Span> result(static_cast<std::size_t>(target));
    for (std::int64_t j = 0; j < target; ++j) {
        const std::int64_t begin = j * source;
        const std::int64_t end = begin + source;
        Span& span = result[static_cast<std::size_t>(j)];
        span.first = static_cast<int>(begin / target);
        std::int64_t given = 0;
        for (std::int64_t i = span.first; i * target < end; ++i) {
            const std::int64_t covered = std::min(end, (i + 1) * target) - begin;
            const std::int64_t so_far = (covered * whole + source / 2) / source;
            span.weights.push_back(static_cast<std::uint16_t>(so_far - given));
            given = so_far;
        }
    }
    return result;
}

// Rows are summed in 15 bits, which processors do eight or more at a time; columns in 32.
constexpr std::uint32_t row_whole = 128;
constexpr std::uint32_t column_whole = 1U << 14U;
constexpr std::uint32_t whole = row_whole * column_whole;

/// The spans of a row of target pixels, side by side: equally many pairs of source pixels for each,
/// the last ones with weights of 0.
struct Columns {
    std::vector<int> first;
    std::vector<std::int16_t> weights;  ///< 2 * pairs for each target pixel
    std::size_t pairs = 0;

    explicit Columns(const std::vector<Span>& columns) {
        for (const Span& span : columns) pairs = std::max(pairs, (span.weights.size() + 1) / 2);
        weights.assign(columns.size() * 2 * pairs, 0);
        first.reserve(columns.size());
        for (std::size_t j = 0; j < columns.size(); ++j) {
            first.push_back(columns[j].first);
            std::ranges::copy(columns[j].weights,
                              weights.begin() + static_cast<std::ptrdiff_t>(2 * pairs * j));
        }
    }
};

void add_row(const std::uint8_t* in, std::uint16_t weight, std::size_t count,
             std::vector<std::uint16_t>& sums) {
    wide([=, out = sums.data()] {
        for (std::size_t x = 0; x < count; ++x) {
            out[x] = static_cast<std::uint16_t>(out[x] + in[x] * weight);
        }
    });
}

void reduce_gray_row(const std::vector<std::uint16_t>& sums, const Columns& columns,
                     std::uint8_t* out) {
    const std::int16_t* weight = columns.weights.data();
    for (const int first : columns.first) {
        const std::uint16_t* in = sums.data() + first;
        std::uint32_t total = whole / 2;
        for (std::size_t k = 0; k < 2 * columns.pairs; ++k) {
            total += static_cast<std::uint32_t>(*weight++) * *in++;
        }
        *out++ = static_cast<std::uint8_t>(total / whole);
    }
}

#ifdef __SSE2__

void reduce_color_row(const std::vector<std::uint16_t>& sums, const Columns& columns,
                      std::uint8_t* out) {
    const std::int16_t* weight = columns.weights.data();
    const auto pixel = [](const std::uint16_t* at) {
        return _mm_loadl_epi64(reinterpret_cast<const __m128i*>(at));
    };
    for (const int first : columns.first) {
        const std::uint16_t* in = sums.data() + 3 * static_cast<std::ptrdiff_t>(first);
        __m128i total = _mm_set1_epi32(whole / 2);
        for (std::size_t k = 0; k < columns.pairs; ++k, in += 6, weight += 2) {
            std::int32_t both = 0;
            std::memcpy(&both, weight, sizeof both);
            total = _mm_add_epi32(
                total,
                _mm_madd_epi16(_mm_unpacklo_epi16(pixel(in), pixel(in + 3)), _mm_set1_epi32(both)));
        }
        total = _mm_srli_epi32(total, std::countr_zero(whole));
        total = _mm_packs_epi32(total, total);
        const std::int32_t codes = _mm_cvtsi128_si32(_mm_packus_epi16(total, total));
        std::memcpy(out, &codes, 3);
        out += 3;
    }
}

#else

void reduce_color_row(const std::vector<std::uint16_t>& sums, const Columns& columns,
                      std::uint8_t* out) {
    const std::int16_t* weight = columns.weights.data();
    for (const int first : columns.first) {
        const std::uint16_t* in = sums.data() + 3 * static_cast<std::ptrdiff_t>(first);
        std::uint32_t total[3] = {whole / 2, whole / 2, whole / 2};
        for (std::size_t k = 0; k < 2 * columns.pairs; ++k, ++weight) {
            for (std::uint32_t& t : total) t += static_cast<std::uint32_t>(*weight) * *in++;
        }
        for (const std::uint32_t t : total) *out++ = static_cast<std::uint8_t>(t / whole);
    }
}

#endif

Image reduced(const Image& image, SizePx size) {
    Image result(size.width, size.height,
                 image.encoding() == Encoding::srgb ? Encoding::srgb : Encoding::gray);
    const Columns columns(spans(image.width(), size.width, column_whole));
    const std::vector<Span> rows = spans(image.height(), size.height, row_whole);
    // Weights of 0 may lie on what is past the row, and a pixel is read as four numbers.
    std::vector<std::uint16_t> sums(image.stride() + 8 + 6 * columns.pairs);
    for (int y = 0; y < size.height; ++y) {
        const Span& span = rows[static_cast<std::size_t>(y)];
        std::fill(sums.begin(), sums.end(), std::uint16_t{0});
        for (std::size_t i = 0; i < span.weights.size(); ++i) {
            add_row(image.row(span.first + static_cast<int>(i)), span.weights[i], image.stride(),
                    sums);
        }
        if (image.channels() == 3) {
            reduce_color_row(sums, columns, result.row(y));
        } else {
            reduce_gray_row(sums, columns, result.row(y));
        }
    }
    return result;
}

}  // namespace

Thumbnail thumbnail(const Image& image, int max_width) {
    if (image.empty() || max_width < 1) {
        throw Error(ErrorKind::internal, "thumbnail",
                    "expected a picture and a width of at least 1, found " +
                        std::to_string(image.width()) + " and " + std::to_string(max_width));
    }
    constexpr int quality = 76;
    SizePx size = image.size();
    if (size.width > max_width) {
        const std::int64_t height =
            (std::int64_t{image.height()} * max_width + image.width() / 2) / image.width();
        size = {max_width, static_cast<int>(std::max<std::int64_t>(1, height))};
    }
    Thumbnail result;
    result.width = size.width;
    result.height = size.height;
    result.jpeg = encoded_jpeg(size == image.size() ? image : reduced(image, size), quality);
    return result;
}

}  // namespace paleproof::codec
