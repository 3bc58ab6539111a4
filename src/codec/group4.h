// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "core/image.h"

namespace paleproof::codec {

/// A picture in CCITT Group 4 (ITU-T Recommendation T.6): each row is told by how its changes of
/// color lie to those of the row above. PDF reads it as CCITTFaxDecode with K = -1 and BlackIs1 =
/// false, without end of line and byte alignment.
///
/// Input    a bilevel image; 255 = paper, 0 = ink. Error{internal} for another one or an empty one.
/// Result   all rows and the end-of-facsimile-block, filled up with zeros to a whole byte.
[[nodiscard]] std::vector<std::uint8_t> group4(const Image& image);

}  // namespace paleproof::codec
