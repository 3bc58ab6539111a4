// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "color/gray_table.h"
#include "color/srgb.h"
#include "plan/tone_field.h"

namespace paleproof::plan {

/// A node of a gray table, before any color of the deck is moved.
struct MapNode {
    color::Lab lab;
    double lightness = 0.0;  ///< L* of its gray
};

/// The nodes of a table in its order, red slowest, with the shifts of a field. Between two of them
/// the shift changes by at most 5 L*: where 8 codes are a large step in CIELAB, as among dark
/// saturated colors, tones would band. Neutrals have no shift.
[[nodiscard]] std::vector<MapNode> map_nodes(const ToneField& field);

/// The same with the grays that a table has.
[[nodiscard]] std::vector<MapNode> map_nodes(const color::GrayTable& table);

/// Marks the nodes that the gray of a color is made from. `wanted` has a flag for each node.
void mark_around(color::Rgb8 color, std::vector<bool>& wanted);

}  // namespace paleproof::plan
