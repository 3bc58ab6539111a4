// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/image.h"

#include <algorithm>

#include "core/error.h"

namespace paleproof {

Image::Image(int width, int height, Encoding encoding, Ppi ppi)
    : width_(width), height_(height), encoding_(encoding), ppi_(ppi) {
    if (width < 1 || height < 1) {
        throw Error(ErrorKind::internal, "image", "a picture needs at least one pixel");
    }
    data_.assign(stride() * static_cast<std::size_t>(height), 255);
}

Image crop(const Image& image, RectPx part) {
    if (part.empty() || intersection(part, image.bounds()) != part) {
        throw Error(ErrorKind::internal, "crop", "the part lies outside the picture");
    }
    Image result(part.width, part.height, image.encoding(), image.ppi());
    const auto offset =
        static_cast<std::size_t>(part.x) * static_cast<std::size_t>(image.channels());
    for (int y = 0; y < part.height; ++y) {
        std::copy_n(image.row(part.y + y) + offset, result.stride(), result.row(y));
    }
    return result;
}

}  // namespace paleproof
