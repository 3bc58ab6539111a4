// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <span>

#include "core/field.h"
#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::filters {

struct PanelFlip {
    double rule_mm = 0.25;   ///< weight of the outline, 0.7 pt
    double rule_ink = 0.65;  ///< its tone value
    double nearly_flat =
        0.06;  ///< codes, as a share of 255, that a panel's ground may vary either way
};

inline constexpr std::array panel_flip_fields{
    Field<PanelFlip>{"rule", "mm", &PanelFlip::rule_mm, 0.05, 2.0},
    Field<PanelFlip>{"rule-ink", "share", &PanelFlip::rule_ink, 0.0, 1.0},
    Field<PanelFlip>{"nearly-flat", "share", &PanelFlip::nearly_flat, 0.0, 0.5},
};

/// What becomes of the dark panels of a face.
struct Panels {
    int count = 0;
    Image paper;  ///< 0..255: where a panel becomes paper
    Image rules;  ///< 0..255: ink of the panels' outlines
};

/// The dark panels that carry reversed text: they become paper, their outline stays as a rule.
///
/// From each reversed line the ground that is as dark as around its letters, or changes gently from
/// there, is followed over the face. It is a panel when it is of one piece and nearly convex
/// (rounded corners, any slant), larger than the text on it, smaller than half of the face, mostly
/// bare, and ends in an edge most of the way round.
///
/// Input    `cleared`: gray face without its letters (text_clear); lines of the same face.
/// Result   two masks of the size of the face; all 0 where there is no panel.
/// Keeps    what stands on a panel, such as icons, with 0.5 mm around it; a picture with a caption
///          on it; skies and other grounds that run into the art: they have no edge to rule.
/// Edges    the edge of the picture is no edge of a panel.
/// Cost     works at a third of the size: a median, a flood and a hull for each reversed line; the
///          edge of each panel is measured at full size near its outline.
/// Errors   Error{range} for a field outside its limits; Error{format} for color.
/// Not for  panels with a coarse pattern, such as the grain of wood.
/// Source   own construction, docs/filters.md#panel_flip.
[[nodiscard]] Panels panel_flip(const Image& cleared, std::span<const TextLine> lines,
                                const PanelFlip& p = {});

/// The paper of the panels but for a rim of that width along their edges and around what stands on
/// them: where a drawing has no line to draw. As large as the face, 0..255.
[[nodiscard]] Image panels_inside(const Panels& panels, Mm rim);

}  // namespace paleproof::filters
