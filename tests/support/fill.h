// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cstddef>

#include "core/geometry.h"
#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::test {

/// Sets a part of a picture to one color; of a gray picture, to the first of its codes.
inline void fill(Image& image, RectPx part, RgbCode color) {
    const int channels = image.channels();
    for (int y = part.y; y < part.bottom(); ++y) {
        for (int x = part.x; x < part.right(); ++x) {
            std::copy_n(color.begin(), channels,
                        image.row(y) + static_cast<std::ptrdiff_t>(x) * channels);
        }
    }
}

}  // namespace paleproof::test
