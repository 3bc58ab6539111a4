// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/mat_view.h"

#include <opencv2/core.hpp>

namespace paleproof::survey {

cv::Mat mat(const Plane8& plane) {
    return {plane.height, plane.width, CV_8UC1, const_cast<std::uint8_t*>(plane.data.data())};
}

cv::Mat mat(const Image& image) {
    const int type = image.channels() == 3 ? CV_8UC3 : CV_8UC1;
    return {image.height(), image.width(), type, const_cast<std::uint8_t*>(image.row(0))};
}

}  // namespace paleproof::survey
