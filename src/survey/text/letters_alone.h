// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>

#include "core/text_line.h"
#include "survey/text/drop_shadow.h"
#include "survey/text/strokes.h"

namespace paleproof::survey {

/// What is left of a run without its shadow.
struct LettersAlone {
    Strokes strokes;   ///< coverage of the letters; `light` is not set
    Strokes around;    ///< the same, the shadow's pixels with a label of their own: no ground
    RgbCode letter{};  ///< the letters' color
};

/// The letters without their shadow: ink is what has the letters' color and has shadow behind it.
/// Nothing when what is left is no line of letters.
[[nodiscard]] std::optional<LettersAlone> without_shadow(const Strip& strip, const Strokes& strokes,
                                                         std::span<const Piece> pieces,
                                                         const DropShadow& shadow);

}  // namespace paleproof::survey
