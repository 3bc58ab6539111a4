// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

#include "core/image.h"
#include "core/symbol.h"

namespace paleproof::survey {

/// What stands in `box` on a ground of the given color: its tight box and its colors. One tone is
/// the figure; of two the one that is farther from the ground in lightness is the figure, the other
/// its field, around which a ring of the figure's color may run; a thin sign on a badge lighter
/// than the ground is a figure as well. Nothing when too little differs from the ground, or the
/// figure from its field or ground: under 2 : 1 (WCAG 2.2), in a ring under 1.4.
[[nodiscard]] std::optional<Symbol> symbol_at(const Image& face, RectPx box, RgbCode ground);

/// What is left of a symbol of the source in its proof.
struct SymbolInProof {
    double contrast = 1.0;  ///< WCAG 2.2: median of the figure against median of its surroundings
    double found = 0.0;  ///< share 0..1 of the figure's pixels that are on its side of the middle
    double clear = 0.0;  ///< share 0..1 of its surroundings that are on theirs
};

/// Looks for a symbol where it is known to be. Figure and surroundings (its field, or the ground
/// right around it) are the pixels that are so on the source. Which of both is darker in the proof
/// does not matter. `source` as it was surveyed, `proof` gray, of one size. Nothing when the symbol
/// shows too few pixels of either.
[[nodiscard]] std::optional<SymbolInProof> symbol_in_proof(const Image& source, const Image& proof,
                                                           const Symbol& symbol);

}  // namespace paleproof::survey
