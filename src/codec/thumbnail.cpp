// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/thumbnail.h"

#include <algorithm>
#include <vector>

#include "codec/jpeg_encoder.h"
#include "core/error.h"
#include "core/wide.h"

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

// Rows are summed in 16 bits, which processors do eight or more at a time; columns in 32.
constexpr std::uint32_t row_whole = 256;
constexpr std::uint32_t column_whole = 1U << 14U;

void add_row(const std::uint8_t* in, std::uint16_t weight, std::vector<std::uint16_t>& sums) {
    wide([=, out = sums.data(), count = sums.size()] {
        for (std::size_t x = 0; x < count; ++x) {
            out[x] = static_cast<std::uint16_t>(out[x] + in[x] * weight);
        }
    });
}

template <std::size_t channels>
void reduce_row(const std::vector<std::uint16_t>& sums, const std::vector<Span>& columns,
                std::uint8_t* out) {
    constexpr std::uint32_t whole = row_whole * column_whole;
    for (const Span& span : columns) {
        std::uint32_t total[channels] = {};
        const std::uint16_t* in = sums.data() + static_cast<std::size_t>(span.first) * channels;
        for (const std::uint32_t weight : span.weights) {
            for (std::size_t c = 0; c < channels; ++c) {
                total[c] += weight * in[c];
            }
            in += channels;
        }
        for (std::size_t c = 0; c < channels; ++c) {
            *out++ = static_cast<std::uint8_t>((total[c] + whole / 2) / whole);
        }
    }
}

Image reduced(const Image& image, SizePx size) {
    Image result(size.width, size.height,
                 image.encoding() == Encoding::srgb ? Encoding::srgb : Encoding::gray);
    const std::vector<Span> columns = spans(image.width(), size.width, column_whole);
    const std::vector<Span> rows = spans(image.height(), size.height, row_whole);
    std::vector<std::uint16_t> sums(image.stride());
    for (int y = 0; y < size.height; ++y) {
        const Span& span = rows[static_cast<std::size_t>(y)];
        std::fill(sums.begin(), sums.end(), std::uint16_t{0});
        for (std::size_t i = 0; i < span.weights.size(); ++i) {
            add_row(image.row(span.first + static_cast<int>(i)), span.weights[i], sums);
        }
        if (image.channels() == 3) {
            reduce_row<3>(sums, columns, result.row(y));
        } else {
            reduce_row<1>(sums, columns, result.row(y));
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
