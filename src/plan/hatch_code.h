// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <utility>
#include <vector>

#include "color/srgb.h"
#include "core/color_pattern.h"

namespace paleproof::plan {

/// A color that stands for something in the deck, and how much of it there is.
struct TellingColor {
    color::Rgb8 color;
    double share = 0.0;  ///< of all faces; only the order matters
};

/// A pattern for each of the colors, in their order, after the engravers' hatching of heraldry:
///
///     red upright   blue level   green falling to the right   purple rising to the right
///     gold dots     orange rising and level   dark red both diagonals   brown falling and upright
///     black upright and level; white and grays none
///
/// Colors of `apart` (pairs of indices) that would get the same pattern are told apart by pitch:
/// the one of which there is more keeps the usual one. Other colors of one name share a pattern.
/// A color without a pattern has an empty sample.
/// Source: Petra Sancta 1638 (docs/sources.md, heraldry), docs/filters.md#hatch for what the
/// sources leave open.
[[nodiscard]] std::vector<ColorPattern> hatch_code(
    std::span<const TellingColor> colors,
    std::span<const std::pair<std::size_t, std::size_t>> apart);

}  // namespace paleproof::plan
