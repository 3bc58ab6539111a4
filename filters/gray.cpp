// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/gray.h"

#include <algorithm>

#include "color/srgb.h"

namespace paleproof::filters {

Image gray(const Image& card) {
    Image result(card.width(), card.height(), Encoding::gray, card.ppi());
    if (card.encoding() != Encoding::srgb) {
        std::ranges::copy(card.bytes(), result.bytes().begin());
        return result;
    }
    const color::GrayCodes& codes = color::gray_codes();
    const std::uint8_t* in = card.bytes().data();
    for (std::uint8_t& out : result.bytes()) {
        out = codes(in[0], in[1], in[2]);
        in += 3;
    }
    return result;
}

}  // namespace paleproof::filters
