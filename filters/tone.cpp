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
    const std::uint8_t* in = card.bytes().data();
    std::uint32_t last = 0;
    std::uint8_t last_gray = map(0, 0, 0);
    for (std::uint8_t& out : result.bytes()) {
        const std::uint32_t color = static_cast<std::uint32_t>(in[0]) << 16U |
                                    static_cast<std::uint32_t>(in[1]) << 8U | in[2];
        if (color != last) {
            last = color;
            last_gray = map(in[0], in[1], in[2]);
        }
        out = last_gray;
        in += 3;
    }
    return result;
}

}  // namespace paleproof::filters
