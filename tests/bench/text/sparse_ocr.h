// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::bench {

/// Boxes of the words of two or more signs that the OCR engine reads anywhere on the face, with a
/// confidence of 30 or more. Error{unsupported} when it is not built in.
[[nodiscard]] std::vector<TextLine> sparse_ocr(const Image& image);

}  // namespace paleproof::bench
