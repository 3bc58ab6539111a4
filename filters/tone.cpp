// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/tone.h"

#include <algorithm>

namespace paleproof::filters {

Image tone(const Image& card, const color::GrayTable& map) {
    Image result(card.width(), card.height(), Encoding::gray, card.ppi());
    if (card.encoding() != Encoding::srgb) {
        std::ranges::copy(card.bytes(), result.bytes().begin());
        return result;
    }
    map.map(card.bytes().data(), result.bytes().size(), result.bytes().data());
    return result;
}

}  // namespace paleproof::filters
