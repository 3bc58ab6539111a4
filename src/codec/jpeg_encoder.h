// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "core/image.h"

namespace paleproof::codec {

/// A baseline JPEG file with JFIF head, gray for gray and bilevel pictures, else YCbCr 4:2:0.
/// `quality` 1..100 as libjpeg scales it. Sides up to 65,500 pixels, else Error{range}.
[[nodiscard]] std::string encoded_jpeg(const Image& image, int quality);

}  // namespace paleproof::codec
