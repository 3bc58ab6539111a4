// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>

#include "survey/text/code_vector.h"
#include "survey/text/strokes.h"

namespace paleproof::survey {

/// A shadow that is as strong as its letters, so that both together were taken for the ink.
struct DropShadow {
    int du = 0, dv = 0;   ///< to which side of the letters it lies, in the strip: -1 or 1 each
    bool beside = false;  ///< the ink is what shows of the shadow; the letters lie beside it
    CodeVector letter{}, shadow{}, ground{};  ///< sRGB codes
};

/// Tells such a shadow by the edges of the ink: over all short runs of ink along rows, and along
/// columns, the two ends of a run differ by the same change of color. Letters without a shadow have
/// the same color at both ends, a fill that changes over their height changes little along rows.
[[nodiscard]] std::optional<DropShadow> drop_shadow(const Strip& strip, const Strokes& strokes,
                                                    std::span<const Piece> pieces);

}  // namespace paleproof::survey
