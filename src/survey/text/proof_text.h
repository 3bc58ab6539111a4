// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::survey {

/// What is left of a line of the source in its proof.
struct LineInProof {
    double contrast = 1.0;  ///< WCAG 2.2, 1..21: median of the letters against median of the ground
    double found = 0.0;     ///< share 0..1 of the line's columns whose strokes are there again
    double clear = 0.0;     ///< share 0..1 of the ground's pixels that are on the ground's side
    /// How much the letters' height or width changed, as a share of it, whichever changed more.
    double size_change = 0.0;
    int letters_missing = 0;  ///< whole letters, whatever their color: missing_letters.h
};

/// Looks for a line of the source where it is known to be: its letters and its ground are the
/// pixels that are so on the source, what is far thicker than the line's strokes (an inline icon)
/// is neither; nor is what is thicker and goes on past the box. In the proof a letter's pixel must
/// lie on the letters' side of the middle between both medians.
///
/// `source` and `proof` are gray and of one size. Nothing when the line shows too few pixels of
/// either there. Which of both is darker does not matter: reversed text may come back dark on
/// light. Knows nothing of how the proof was made, so that a letter that was not set again is seen.
[[nodiscard]] std::optional<LineInProof> line_in_proof(const Image& source, const Image& proof,
                                                       const TextLine& line);

}  // namespace paleproof::survey
