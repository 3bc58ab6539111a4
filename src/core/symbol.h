// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

#include "core/geometry.h"
#include "core/text_line.h"

namespace paleproof {

/// A small sign that stands by itself on an even ground: a suit mark, an icon in a line of text, a
/// number, a letter that was not found as text. What became of it in the proof stands with it.
struct Symbol {
    RectPx box_px;           ///< in pixels of the source face
    RgbCode ground_color{};  ///< what lies right around it
    RgbCode figure_color{};  ///< what it is drawn in
    bool on_field = false;   ///< the figure lies on a disc or a shield of a color of its own
    RgbCode field_color{};   ///< of that disc, when there is one
    double contrast = 1.0;   ///< WCAG 2.2, 1..21: the figure to its field, or to the ground
    std::optional<double> proof_contrast{};  ///< the same in the proof, when it was measured there
    std::optional<bool> kept{};              ///< its figure is found again in the proof
};

}  // namespace paleproof
