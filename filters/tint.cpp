// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/tint.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace paleproof::filters {
namespace {

constexpr int sure_hue = 48;  // largest channel from which a hue is no noise

}  // namespace

Image tint(const Image& card, const Image& drawing, const Tint& p) {
    check_fields(p, tint_fields);
    if (card.encoding() != Encoding::srgb || drawing.channels() != 1 ||
        card.size() != drawing.size()) {
        throw Error(ErrorKind::format, "tint",
                    "expected a color picture and a gray one of the same size");
    }
    const int wash = static_cast<int>(std::lround(p.wash * 256.0));
    const int lines = static_cast<int>(std::lround(p.drawing * 256.0));
    Image result(card.width(), card.height(), Encoding::srgb, card.ppi());
    const std::uint8_t* in = card.bytes().data();
    std::uint8_t* out = result.bytes().data();
    for (const std::uint8_t code : drawing.bytes()) {
        const int most = std::max({in[0], in[1], in[2], std::uint8_t{1}});
        const int weight = wash * std::min(most, sure_hue) / sure_hue;
        const int paper = 255 - ((255 - code) * lines + 128) / 256;
        for (int c = 0; c < 3; ++c) {
            const int away = 255 - 255 * in[c] / most;  // from paper, of the brightest form
            const int washed = 255 - (away * weight + 128) / 256;
            out[c] = std::max(in[c], static_cast<std::uint8_t>((washed * paper + 127) / 255));
        }
        in += 3;
        out += 3;
    }
    return result;
}

}  // namespace paleproof::filters
