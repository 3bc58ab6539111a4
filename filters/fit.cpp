// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/fit.h"

#include <opencv2/imgproc.hpp>
#include <string>

#include "core/error.h"

namespace paleproof::filters {
namespace {

constexpr int most = 20'000;

cv::Mat view(const Image& image) {
    return {image.height(), image.width(), CV_8UC(image.channels()),
            const_cast<std::uint8_t*>(image.bytes().data())};
}

}  // namespace

Image fit(const Image& card, SizePx size) {
    if (size.width < 1 || size.height < 1 || size.width > most || size.height > most) {
        throw Error(ErrorKind::range, "fit",
                    "expected 1 to " + std::to_string(most) + " pixels, got " +
                        std::to_string(size.width) + " x " + std::to_string(size.height));
    }
    if (size == card.size()) return card;
    Image result(size.width, size.height, card.encoding(), card.ppi());
    const bool smaller = size.width <= card.width() && size.height <= card.height();
    cv::Mat out = view(result);
    cv::resize(view(card), out, {size.width, size.height}, 0.0, 0.0,
               smaller ? cv::INTER_AREA : cv::INTER_CUBIC);
    if (card.encoding() == Encoding::bilevel) {
        for (std::uint8_t& code : result.bytes()) code = code < 128 ? 0 : 255;
    }
    return result;
}

}  // namespace paleproof::filters
