// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/png_filter.h"

#include <algorithm>
#include <cstdlib>
#include <cstring>

#ifdef __SSE2__
#include <emmintrin.h>
#endif

namespace paleproof::codec {
namespace {

/// Of a (left), b (above), c (above left), the one nearest to a + b - c; ties in this order.
int paeth(int a, int b, int c) {
    const int pa = std::abs(b - c);
    const int pb = std::abs(a - c);
    const int pc = std::abs(a + b - 2 * c);
    const int bc = pb <= pc ? b : c;
    return pa <= pb && pa <= pc ? a : bc;
}

template <std::size_t channels>
void undo_sub(const std::uint8_t* in, std::uint8_t* out, std::size_t count) {
    std::uint8_t left[channels] = {};
    for (std::size_t i = 0; i + channels <= count; i += channels) {
        for (std::size_t c = 0; c < channels; ++c) {
            left[c] = static_cast<std::uint8_t>(left[c] + in[i + c]);
            out[i + c] = left[c];
        }
    }
}

void undo_up(const std::uint8_t* in, const std::uint8_t* above, std::uint8_t* out,
             std::size_t count) {
    for (std::size_t i = 0; i < count; ++i) {
        out[i] = static_cast<std::uint8_t>(in[i] + above[i]);
    }
}

template <std::size_t channels>
void undo_average(const std::uint8_t* in, const std::uint8_t* above, std::uint8_t* out,
                  std::size_t count) {
    std::uint8_t left[channels] = {};
    for (std::size_t i = 0; i + channels <= count; i += channels) {
        for (std::size_t c = 0; c < channels; ++c) {
            left[c] = static_cast<std::uint8_t>((left[c] + above[i + c]) / 2 + in[i + c]);
            out[i + c] = left[c];
        }
    }
}

template <std::size_t channels>
void undo_paeth(const std::uint8_t* in, const std::uint8_t* above, std::uint8_t* out,
                std::size_t count) {
    int left[channels] = {};
    int above_left[channels] = {};
    for (std::size_t i = 0; i + channels <= count; i += channels) {
        for (std::size_t c = 0; c < channels; ++c) {
            const int up = above[i + c];
            left[c] = (paeth(left[c], up, above_left[c]) + in[i + c]) & 0xFF;
            above_left[c] = up;
            out[i + c] = static_cast<std::uint8_t>(left[c]);
        }
    }
}

std::uint64_t magnitude(const std::uint8_t* bytes, std::size_t count) {
    std::uint64_t sum = 0;
    std::size_t i = 0;
#ifdef __SSE2__
    __m128i sums = _mm_setzero_si128();
    for (; i + 16 <= count; i += 16) {
        const __m128i v = _mm_loadu_si128(reinterpret_cast<const __m128i*>(bytes + i));
        const __m128i size = _mm_min_epu8(v, _mm_sub_epi8(_mm_setzero_si128(), v));
        sums = _mm_add_epi64(sums, _mm_sad_epu8(size, _mm_setzero_si128()));
    }
    std::uint64_t halves[2];
    std::memcpy(halves, &sums, sizeof halves);
    sum = halves[0] + halves[1];
#endif
    for (; i < count; ++i) {
        sum += std::min<std::uint64_t>(bytes[i], 256U - bytes[i]);
    }
    return sum;
}

#ifdef __SSE2__

/// One pixel of 3 or 4 bytes in the low lanes of a register. Pixels of 3 bytes are read and written
/// as 4 where `room` says that the row goes on.
template <std::size_t channels>
__m128i pixel(const std::uint8_t* at, bool room) {
    std::int32_t value = 0;
    if (room) {
        std::memcpy(&value, at, 4);
    } else {
        std::memcpy(&value, at, channels);
    }
    return _mm_cvtsi32_si128(value);
}

template <std::size_t channels>
void set_pixel(std::uint8_t* at, __m128i pixel) {
    const std::int32_t value = _mm_cvtsi128_si32(pixel);
    std::memcpy(at, &value, channels);
}

template <std::size_t channels>
void undo_sub_wide(const std::uint8_t* in, std::uint8_t* out, std::size_t count) {
    __m128i left = _mm_setzero_si128();
    for (std::size_t i = 0; i < count; i += channels) {
        left = _mm_add_epi8(left, pixel<channels>(in + i, i + 4 <= count));
        set_pixel<channels>(out + i, left);
    }
}

template <std::size_t channels>
void undo_average_wide(const std::uint8_t* in, const std::uint8_t* above, std::uint8_t* out,
                       std::size_t count) {
    const __m128i one = _mm_set1_epi8(1);
    __m128i left = _mm_setzero_si128();
    for (std::size_t i = 0; i < count; i += channels) {
        const bool room = i + 4 <= count;
        const __m128i up = pixel<channels>(above + i, room);
        // _mm_avg_epu8 rounds up; PNG rounds down: less one where the sum is odd.
        const __m128i odd = _mm_and_si128(_mm_xor_si128(left, up), one);
        const __m128i mean = _mm_sub_epi8(_mm_avg_epu8(left, up), odd);
        left = _mm_add_epi8(mean, pixel<channels>(in + i, room));
        set_pixel<channels>(out + i, left);
    }
}

/// As paeth(), on lanes of 16 bits.
__m128i paeth_wide(__m128i a, __m128i b, __m128i c) {
    const auto magnitude = [](__m128i v) {
        return _mm_max_epi16(v, _mm_sub_epi16(_mm_setzero_si128(), v));
    };
    const __m128i to_a = _mm_sub_epi16(b, c);
    const __m128i to_b = _mm_sub_epi16(a, c);
    const __m128i pa = magnitude(to_a);
    const __m128i pb = magnitude(to_b);
    const __m128i pc = magnitude(_mm_add_epi16(to_a, to_b));
    const __m128i least = _mm_min_epi16(pc, _mm_min_epi16(pa, pb));
    const __m128i is_a = _mm_cmpeq_epi16(least, pa);
    const __m128i is_b = _mm_cmpeq_epi16(least, pb);
    const __m128i b_or_c = _mm_or_si128(_mm_and_si128(is_b, b), _mm_andnot_si128(is_b, c));
    return _mm_or_si128(_mm_and_si128(is_a, a), _mm_andnot_si128(is_a, b_or_c));
}

template <std::size_t channels>
void undo_paeth_wide(const std::uint8_t* in, const std::uint8_t* above, std::uint8_t* out,
                     std::size_t count) {
    const __m128i zero = _mm_setzero_si128();
    const __m128i low_byte = _mm_set1_epi16(0xFF);
    __m128i left = zero;
    __m128i above_left = zero;
    for (std::size_t i = 0; i < count; i += channels) {
        const bool room = i + 4 <= count;
        const __m128i up = _mm_unpacklo_epi8(pixel<channels>(above + i, room), zero);
        const __m128i filtered = _mm_unpacklo_epi8(pixel<channels>(in + i, room), zero);
        const __m128i sum = _mm_add_epi16(paeth_wide(left, up, above_left), filtered);
        left = _mm_and_si128(sum, low_byte);
        above_left = up;
        set_pixel<channels>(out + i, _mm_packus_epi16(left, left));
    }
}

#endif

template <std::size_t channels>
bool undo(unsigned type, const std::uint8_t* in, const std::uint8_t* above, std::uint8_t* out,
          std::size_t count) {
    switch (type) {
        case 0:
            if (in != out) {
                std::memcpy(out, in, count);
            }
            return true;
        case 1:
#ifdef __SSE2__
            if constexpr (channels >= 3) {
                undo_sub_wide<channels>(in, out, count);
                return true;
            }
#endif
            undo_sub<channels>(in, out, count);
            return true;
        case 2:
            undo_up(in, above, out, count);
            return true;
        case 3:
#ifdef __SSE2__
            if constexpr (channels >= 3) {
                undo_average_wide<channels>(in, above, out, count);
                return true;
            }
#endif
            undo_average<channels>(in, above, out, count);
            return true;
        case 4:
#ifdef __SSE2__
            if constexpr (channels >= 3) {
                undo_paeth_wide<channels>(in, above, out, count);
                return true;
            }
#endif
            undo_paeth<channels>(in, above, out, count);
            return true;
        default:
            return false;
    }
}

}  // namespace

std::uint64_t apply_filter(PngFilter filter, const std::uint8_t* row, const std::uint8_t* above,
                           std::uint8_t* out, std::size_t count, std::size_t channels) {
    // The first pixel has no left neighbors; for the others they lie `channels` bytes before.
    const std::size_t first = std::min(channels, count);
    switch (filter) {
        case PngFilter::none:
            std::copy_n(row, count, out);
            break;
        case PngFilter::sub:
            std::copy_n(row, first, out);
            for (std::size_t i = first; i < count; ++i) {
                out[i] = static_cast<std::uint8_t>(row[i] - row[i - channels]);
            }
            break;
        case PngFilter::up:
            for (std::size_t i = 0; i < count; ++i) {
                out[i] = static_cast<std::uint8_t>(row[i] - above[i]);
            }
            break;
        case PngFilter::average:
            for (std::size_t i = 0; i < first; ++i) {
                out[i] = static_cast<std::uint8_t>(row[i] - above[i] / 2);
            }
            for (std::size_t i = first; i < count; ++i) {
                out[i] = static_cast<std::uint8_t>(row[i] - (row[i - channels] + above[i]) / 2);
            }
            break;
        case PngFilter::paeth:
            for (std::size_t i = 0; i < first; ++i) {
                out[i] = static_cast<std::uint8_t>(row[i] - above[i]);
            }
            for (std::size_t i = first; i < count; ++i) {
                const int near = paeth(row[i - channels], above[i], above[i - channels]);
                out[i] = static_cast<std::uint8_t>(row[i] - near);
            }
            break;
    }
    return magnitude(out, count);
}

bool unfilter(unsigned type, const std::uint8_t* in, const std::uint8_t* above, std::uint8_t* out,
              std::size_t count, std::size_t channels) {
    switch (channels) {
        case 1:
            return undo<1>(type, in, above, out, count);
        case 2:
            return undo<2>(type, in, above, out, count);
        case 3:
            return undo<3>(type, in, above, out, count);
        default:
            return undo<4>(type, in, above, out, count);
    }
}

}  // namespace paleproof::codec
