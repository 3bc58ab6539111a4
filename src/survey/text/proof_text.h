// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::survey {

/// Contrast (WCAG 2.2, 1..21) that a line of the source has in the proof, looked for where the line
/// is known to be: its letters and its ground are the pixels that are so on the source.
///
/// `source` and `proof` are gray and of one size. Nothing when the line shows too few pixels of
/// either there. Which of both is darker does not matter: reversed text may come back dark on
/// light.
[[nodiscard]] std::optional<double> contrast_in_proof(const Image& source, const Image& proof,
                                                      const TextLine& line);

}  // namespace paleproof::survey
