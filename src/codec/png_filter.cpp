// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/png_filter.h"

#include <algorithm>
#include <cstdlib>
#include <cstring>

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
            undo_sub<channels>(in, out, count);
            return true;
        case 2:
            for (std::size_t i = 0; i < count; ++i) {
                out[i] = static_cast<std::uint8_t>(in[i] + above[i]);
            }
            return true;
        case 3:
            undo_average<channels>(in, above, out, count);
            return true;
        case 4:
            undo_paeth<channels>(in, above, out, count);
            return true;
        default:
            return false;
    }
}

}  // namespace

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
