// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/heat.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

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
    const std::vector<double> totals = separation.totals(picture, heat.width(), heat.height());
    std::ranges::transform(totals, heat.bytes().begin(), [](double total) {
        return static_cast<std::uint8_t>(std::lround(std::min(total, 4.0) / 4.0 * 255.0));
    });
    return codec::thumbnail(heat, most);
}

}  // namespace paleproof::app
