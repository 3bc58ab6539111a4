// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"

namespace paleproof::codec {

/// `stored` turned upright by EXIF orientation 1..8 (EXIF 2.32, tag 0x0112); 5..8 swap width and
/// height. Any other value leaves it as it is.
[[nodiscard]] Image upright(Image stored, int orientation);

/// The size after upright().
[[nodiscard]] SizePx upright(SizePx stored, int orientation);

}  // namespace paleproof::codec
