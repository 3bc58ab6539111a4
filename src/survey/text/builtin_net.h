// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <span>

namespace paleproof::survey {

/// text_net.onnx, part of the library. How it was made: src/survey/train.
[[nodiscard]] std::span<const std::uint8_t> builtin_text_net();

}  // namespace paleproof::survey
