// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/heat.h"

#include <algorithm>
#include <cmath>

#include "codec/thumbnail.h"

namespace paleproof::app {

Thumbnail heat_of(const Image& picture, const color::Separation& separation) {
    static constexpr int most = 400;  // patches to a side: a face of half a meter
    const double ppi = picture.ppi().value > 0.0 ? picture.ppi().value : 300.0;
    const auto patches = [ppi](int length) {
        return std::clamp(static_cast<int>(std::lround(length / ppi * mm_per_inch)), 1,
                          std::min(length, most));
    };
    Image heat(patches(picture.width()), patches(picture.height()), Encoding::gray);
    const auto edge = [](int length, int parts, int i) {
        return static_cast<int>(static_cast<std::int64_t>(length) * i / parts);
    };
    for (int y = 0; y < heat.height(); ++y) {
        const int top = edge(picture.height(), heat.height(), y);
        const int bottom = edge(picture.height(), heat.height(), y + 1);
        for (int x = 0; x < heat.width(); ++x) {
            const int left = edge(picture.width(), heat.width(), x);
            const int right = edge(picture.width(), heat.width(), x + 1);
            // A resolution so low that the patch is one patch for the separation too.
            const double total =
                separation.ink(picture, {left, top, right - left, bottom - top}, Ppi{1.0}).total;
            heat.row(y)[x] =
                static_cast<std::uint8_t>(std::lround(std::min(total, 4.0) / 4.0 * 255.0));
        }
    }
    return codec::thumbnail(heat, most);
}

}  // namespace paleproof::app
