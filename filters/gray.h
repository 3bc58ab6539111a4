// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"

namespace paleproof::filters {

/// Gray card in which every color keeps its lightness.
///
/// Input    8-bit srgb, gray or bilevel; any size from 1 x 1.
/// Result   gray, same size and ppi; each pixel has the L* of its source to the nearest code.
/// Keeps    neutrals keep their code: black stays 0, white 255; gray and bilevel come back as they
///          are, tagged gray.
/// Edges    none: a pixel depends on itself only.
/// Cost     one pass of table look-ups, one new image.
/// Errors   none.
/// Not for  decks whose colors differ in hue alone: they become twins, which the survey reports.
/// Source   luminance of IEC 61966-2-1 and CIE 15, see docs/sources.md.
[[nodiscard]] Image gray(const Image& card);

}  // namespace paleproof::filters
