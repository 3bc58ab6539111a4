// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"
#include "survey/text/plane.h"

namespace cv {
class Mat;
}

namespace paleproof::survey {

/// The same pixels as OpenCV sees them. It has no view of constant pixels; nothing may write
/// through these.
[[nodiscard]] cv::Mat mat(const Plane8& plane);
[[nodiscard]] cv::Mat mat(const Image& image);

}  // namespace paleproof::survey
