// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>

#include "app/styles.h"
#include "filters/letters.h"
#include "filters/line_art.h"

namespace paleproof::app {

/// What drawn styles set solid: the letters, and where no line may run around them, which is what
/// gray proofs clear; and the symbols of the face.
[[nodiscard]] filters::SolidText solid_text(const StyleInput& face,
                                            std::span<const filters::Letters> letters);

/// Where no line may run: what that text keeps clear, and the inside of the dark panels that carry
/// reversed text. Grain and shades of such a panel are ground, as they are in a gray proof; its
/// edge and what stands on it are drawn.
[[nodiscard]] Image clear_of_lines(const StyleInput& face, const filters::SolidText& text,
                                   std::span<const filters::Letters> letters);

/// Where no pattern may run: what that text keeps clear, and around lines of text so much more that
/// the hatching ends before the line and begins after it, not between its words.
[[nodiscard]] Image clear_of_patterns(const filters::SolidText& text,
                                      std::span<const filters::Letters> letters);

}  // namespace paleproof::app
