// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/orientation.h"

#include <algorithm>
#include <cstddef>
#include <utility>

namespace paleproof::codec {
namespace {

/// Where upright pixel (x, y) lies in the stored picture:
///
///     1  x, y         2  w-x, y       3  w-x, h-y     4  x, h-y
///     5  y, x         6  y, h-x       7  w-y, h-x     8  w-y, x
///
/// with w and h one less than the stored width and height.
struct Turn {
    bool swap;    ///< x and y change places
    bool from_x;  ///< counted from the right of the stored picture
    bool from_y;  ///< counted from its bottom
};

constexpr Turn turns[] = {{false, false, false}, {false, true, false}, {false, true, true},
                          {false, false, true},  {true, false, false}, {true, false, true},
                          {true, true, true},    {true, true, false}};

}  // namespace

SizePx upright(SizePx stored, int orientation) {
    return orientation >= 5 && orientation <= 8 ? SizePx{stored.height, stored.width} : stored;
}

Image upright(Image stored, int orientation) {
    if (orientation < 2 || orientation > 8) {
        return stored;
    }
    const Turn turn = turns[orientation - 1];
    const SizePx size = upright(stored.size(), orientation);
    Image result(size.width, size.height, stored.encoding(), stored.ppi());
    const int channels = stored.channels();
    // Square tiles: the swapping turns walk down columns of the stored picture.
    constexpr int tile = 32;
    for (int top = 0; top < size.height; top += tile) {
        for (int left = 0; left < size.width; left += tile) {
            const int bottom = std::min(top + tile, size.height);
            const int right = std::min(left + tile, size.width);
            for (int y = top; y < bottom; ++y) {
                std::uint8_t* out = result.row(y) + static_cast<std::ptrdiff_t>(left) * channels;
                for (int x = left; x < right; ++x) {
                    int from_x = turn.swap ? y : x;
                    int from_y = turn.swap ? x : y;
                    from_x = turn.from_x ? stored.width() - 1 - from_x : from_x;
                    from_y = turn.from_y ? stored.height() - 1 - from_y : from_y;
                    const std::uint8_t* in = std::as_const(stored).row(from_y) +
                                             static_cast<std::ptrdiff_t>(from_x) * channels;
                    for (int c = 0; c < channels; ++c) {
                        *out++ = in[c];
                    }
                }
            }
        }
    }
    return result;
}

}  // namespace paleproof::codec
