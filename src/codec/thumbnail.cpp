// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/thumbnail.h"

#include <algorithm>
#include <vector>

#include "codec/jpeg_encoder.h"
#include "core/error.h"

namespace paleproof::codec {
namespace {

/// How one line of pixels is averaged into fewer. In units of 1 / target, source pixel i covers
/// [i * target, (i + 1) * target) and target pixel j covers [j * source, (j + 1) * source): all
/// weights are whole numbers and those of one target pixel sum to `source`.
struct Span {
    int first = 0;  ///< source pixel
    std::vector<std::uint32_t> weights;
};

std::vector<Span> spans(int source, int target) {
    std::vector<Span> result(static_cast<std::size_t>(target));
    for (std::int64_t j = 0; j < target; ++j) {
        const std::int64_t begin = j * source;
        const std::int64_t end = begin + source;
        Span& span = result[static_cast<std::size_t>(j)];
        span.first = static_cast<int>(begin / target);
        for (std::int64_t i = span.first; i * target < end; ++i) {
            const std::int64_t left = std::max(begin, i * target);
            const std::int64_t right = std::min(end, (i + 1) * target);
            span.weights.push_back(static_cast<std::uint32_t>(right - left));
        }
    }
    return result;
}

/// sums / total as 8.8 fixed point, rounded. sums <= 255 * total.
void settle(const std::vector<std::uint32_t>& sums, std::uint64_t total,
            std::vector<std::uint32_t>& means) {
    for (std::size_t i = 0; i < sums.size(); ++i) {
        means[i] = static_cast<std::uint32_t>((std::uint64_t{sums[i]} * 256 + total / 2) / total);
    }
}

template <std::size_t channels>
void reduce_row(const std::vector<std::uint32_t>& means, const std::vector<Span>& columns,
                std::uint64_t total, std::uint8_t* out) {
    for (const Span& span : columns) {
        std::uint64_t sum[channels] = {};
        const std::uint32_t* in = means.data() + static_cast<std::size_t>(span.first) * channels;
        for (const std::uint32_t weight : span.weights) {
            for (std::size_t c = 0; c < channels; ++c) {
                sum[c] += std::uint64_t{weight} * in[c];
            }
            in += channels;
        }
        for (std::size_t c = 0; c < channels; ++c) {
            *out++ = static_cast<std::uint8_t>((sum[c] + 128 * total) / (256 * total));
        }
    }
}

}  // namespace

Image reduced(const Image& image, SizePx size) {
    Image result(size.width, size.height,
                 image.encoding() == Encoding::srgb ? Encoding::srgb : Encoding::gray);
    const std::vector<Span> columns = spans(image.width(), size.width);
    const std::vector<Span> rows = spans(image.height(), size.height);
    std::vector<std::uint32_t> sums(image.stride());
    std::vector<std::uint32_t> means(image.stride());
    for (int y = 0; y < size.height; ++y) {
        const Span& span = rows[static_cast<std::size_t>(y)];
        std::fill(sums.begin(), sums.end(), 0U);
        for (std::size_t i = 0; i < span.weights.size(); ++i) {
            const std::uint8_t* in = image.row(span.first + static_cast<int>(i));
            const std::uint32_t weight = span.weights[i];
            for (std::size_t x = 0; x < sums.size(); ++x) {
                sums[x] += weight * in[x];
            }
        }
        settle(sums, static_cast<std::uint64_t>(image.height()), means);
        const auto total = static_cast<std::uint64_t>(image.width());
        if (image.channels() == 3) {
            reduce_row<3>(means, columns, total, result.row(y));
        } else {
            reduce_row<1>(means, columns, total, result.row(y));
        }
    }
    return result;
}

Thumbnail thumbnail(const Image& image, int max_width) {
    if (image.empty() || max_width < 1) {
        throw Error(ErrorKind::internal, "thumbnail",
                    "expected a picture and a width of at least 1, found " +
                        std::to_string(image.width()) + " and " + std::to_string(max_width));
    }
    constexpr int quality = 82;
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
