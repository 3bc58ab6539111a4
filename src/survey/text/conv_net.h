// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "survey/text/plane.h"

namespace paleproof::survey {

/// Runs a small convolutional net: one luminance plane in, planes of logits at half its size out.
///
/// For nets of few channels a general engine spends most of its time on rearranging pixels; here
/// the channels of a pixel lie together and a layer is one pass over it. It knows what the text
/// net is made of: convolutions of side 1, 3 or 5 (dense, or depthwise of side 3; stride 1 or 2),
/// ReLU, addition, enlargement by two through repetition, and at the end a transposed convolution
/// of side and stride 2. Numbers agree with OpenCV's dnn to about 1e-5.
class ConvNet {
  public:
    /// Nothing when the ONNX model holds anything else. Error{format} when it cannot be read.
    [[nodiscard]] static std::optional<ConvNet> read(std::span<const std::uint8_t> onnx);

    ConvNet(ConvNet&&) noexcept;
    ConvNet& operator=(ConvNet&&) noexcept;
    ~ConvNet();

    /// The luminance rows [top, bottom) of `plane`, edge pixels repeated to a multiple of 16, as
    /// 0..1; logits for each two by two pixels, as many planes as the net has outputs. Keeps its
    /// buffers between calls: one net for each thread.
    [[nodiscard]] std::vector<PlaneF> forward(const Plane8& plane, int top, int bottom);

  private:
    struct Parts;
    explicit ConvNet(std::unique_ptr<Parts> parts);
    std::unique_ptr<Parts> parts_;
};

}  // namespace paleproof::survey
