// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::survey {

/// How many letters of a line are not there at all in its proof. Letters are whatever stands out
/// from the even ground around the line, of whatever color: the color that was measured for the
/// line plays no part, so that a wrong one blinds nobody. 0 where the ground is not even; icons,
/// punctuation and accents are not counted.
///
/// `source` and `proof` are gray and of one size.
[[nodiscard]] int missing_letters(const Image& source, const Image& proof, const TextLine& line);

}  // namespace paleproof::survey
