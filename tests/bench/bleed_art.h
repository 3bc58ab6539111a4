// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "core/image.h"

namespace paleproof::bench {

/// Art that reaches past the trim, so that what lies past it is known.
struct OpenArt {
    std::string name;
    bool drawn = false;
    Image image;
};

/// Pictures drawn by code from fixed seeds, `size` pixels each: low-poly scenes, foliage, halftone,
/// wood grain, hatching, maps, clouds, stripes, patterned backs, borders and frames. Two of a kind.
[[nodiscard]] std::vector<OpenArt> drawn_art(SizePx size);

/// Crops of `size` pixels from the photographs and abstracts of Debian's mate-backgrounds and
/// palapeli-data: each picture scaled to fit the crop, and, where it is much larger, at its own
/// scale too. Files that are not there are passed over.
[[nodiscard]] std::vector<OpenArt> open_art(SizePx size);

}  // namespace paleproof::bench
