// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>

#include "core/image.h"
#include "filters/letters.h"

namespace paleproof::filters {

/// Gray face without its letters: their place shows what lies around them.
///
/// So a picture can be drawn that neither shades around letters nor spends ink on them. Each pixel
/// within a fifth of an x-height of a letter becomes the mean of the pixels around that are not.
///
/// Input    8-bit gray; letters of the same face.
/// Result   gray, same size and ppi.
/// Keeps    every pixel farther than that from all letters.
/// Edges    none.
/// Cost     two box means over each line.
/// Errors   Error{format} for color.
/// Not for  showing: the filled places are smooth. text_guard puts the letters back.
/// Source   normalized convolution (Knutsson and Westin 1993), see docs/sources.md.
[[nodiscard]] Image text_clear(const Image& gray, std::span<const Letters> letters);

}  // namespace paleproof::filters
