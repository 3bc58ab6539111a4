// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>

#include "core/geometry.h"
#include "core/units.h"

namespace paleproof {

/// One line of text as the survey measured it on the source, and what became of it in the proof.
struct TextLine {
    enum class Kind { line, mark };  ///< a line of two or more glyphs, or a single number or letter

    Kind kind = Kind::line;
    RectPx box_px;            ///< in pixels of the source face
    double confidence = 0.0;  ///< 0..1
    int quarter_turns = 0;    ///< counterclockwise turns that make it upright
    Mm x_height;              ///< cap height * 0.72 where only capitals or digits show
    bool capitals_only = false;
    double point_size = 0.0;               ///< estimated, pt
    bool reversed = false;                 ///< light text on a dark ground
    double contrast = 1.0;                 ///< WCAG 2.2 on screen, 1..21
    double paper_contrast = 1.0;           ///< as printed on the separation's paper
    std::optional<double> proof_contrast;  ///< contrast in the proof, when it was measured there
    std::optional<bool> kept;              ///< found again in the proof
    std::string words;                     ///< read by OCR when asked for, UTF-8
};

}  // namespace paleproof
