// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <span>
#include <vector>

#include "core/field.h"
#include "core/image.h"
#include "core/symbol.h"
#include "filters/letters.h"

namespace paleproof::filters {

struct SymbolCut {
    double rule_mm = 0.17;   ///< of the rule around a field
    double reach_mm = 0.75;  ///< stands for the x-height, by which halos are measured
};

inline constexpr std::array symbol_cut_fields{
    Field<SymbolCut>{"rule", "mm", &SymbolCut::rule_mm, 0.05, 1.0},
    Field<SymbolCut>{"reach", "mm", &SymbolCut::reach_mm, 0.1, 3.0},
};

/// The symbols of a face, cut out as letters are, so that text_guard sets them with the text: light
/// figures on a dark ground become dark on paper.
///
/// Without a field, each pixel takes ink by how much it differs from the ground, as a share of what
/// the figure does: up to 25 % it is ground, from 65 % on figure. A figure on a field takes ink by
/// its place on the way from the field's color to its own; the field gets a rule around it.
///
/// Input    `face`: srgb, gray or bilevel; symbols in its pixels, boxes around all of the symbol.
/// Result   one entry for each symbol, in their order; `field` is the symbol with its holes filled.
/// Keeps    the face.
/// Edges    boxes are cut at the picture. What goes on past the box is another thing.
/// Cost     a few passes over the boxes.
/// Errors   Error{range} for a field outside its limits.
/// Not for  small pictures in many tones.
/// Source   own construction, docs/filters.md#symbols.
[[nodiscard]] std::vector<Letters> symbols(const Image& face, std::span<const Symbol> found,
                                           const SymbolCut& p = {});

}  // namespace paleproof::filters
