// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/rescale.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "core/error.h"

namespace paleproof::filters {

Image rescale(const Image& gray, SizePx size) {
    if (gray.channels() != 1) {
        throw Error(ErrorKind::format, "rescale", "expected a gray picture, got sRGB");
    }
    if (size.width < 1 || size.height < 1) {
        throw Error(ErrorKind::range, "rescale", "expected a size of at least 1 x 1 pixels");
    }
    const double change = static_cast<double>(size.width) / gray.width();
    Image result(size.width, size.height, Encoding::gray, Ppi{gray.ppi().value * change});
    if (size == gray.size()) {
        std::ranges::copy(gray.bytes(), result.bytes().begin());
        return result;
    }
    const cv::Mat in(gray.height(), gray.width(), CV_8UC1,
                     const_cast<std::uint8_t*>(gray.bytes().data()));
    cv::Mat out(size.height, size.width, CV_8UC1, result.bytes().data());
    const bool smaller = size.width <= gray.width() && size.height <= gray.height();
    cv::resize(in, out, out.size(), 0, 0, smaller ? cv::INTER_AREA : cv::INTER_LINEAR);
    return result;
}

}  // namespace paleproof::filters
