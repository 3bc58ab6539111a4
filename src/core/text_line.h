// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/geometry.h"
#include "core/units.h"

namespace paleproof {

/// An sRGB color as R, G, B codes.
using RgbCode = std::array<std::uint8_t, 3>;

/// One line of text as the survey measured it on the source, and what became of it in the proof.
struct TextLine {
    enum class Kind { line, mark };  ///< a line of two or more glyphs, or a single number or letter

    Kind kind = Kind::line;
    RectPx box_px;            ///< in pixels of the source face
    double confidence = 0.0;  ///< 0..1
    int quarter_turns = 0;    ///< counterclockwise turns that make it upright
    Mm x_height;              ///< cap height * 0.72 where only capitals or digits show
    bool capitals_only = false;
    double point_size = 0.0;  ///< estimated, pt
    /// The sizes that the usual fonts would need for these letters, pt: their x-height is 0.40 to
    /// 0.56 em, their capitals are 0.56 to 0.78 em.
    double point_size_low = 0.0, point_size_high = 0.0;
    Mm cap_height;               ///< capitals or ascenders; 0 where none shows
    double x_height_px = 0.0;    ///< in pixels of the source face, to a fraction of one
    double cap_height_px = 0.0;  ///< the same
    double stroke_px = 0.0;      ///< mean width of the strokes, in pixels of the source face
    double slant_deg = 0.0;      ///< of the base line once turned upright, clockwise
    RgbCode text_color{0, 0, 0};
    RgbCode ground_color{255, 255, 255};  ///< what lies directly around the letters
    /// Of a shadow that looks unlike the letters, and is no part of them; others are as good as
    /// ink.
    std::optional<RgbCode> shadow_color{};
    bool reversed = false;                  ///< light text on a dark ground
    double contrast = 1.0;                  ///< WCAG 2.2 on screen, 1..21
    double paper_contrast = 1.0;            ///< as printed on the separation's paper
    std::optional<double> proof_contrast;   ///< contrast in the proof, when it was measured there
    std::optional<bool> kept;               ///< found again in the proof
    std::string words;                      ///< read by OCR when asked for, UTF-8
    std::string proof_words{};              ///< the same, read in the proof
    std::vector<std::string> lost_words{};  ///< those of `words` that were not read again there
};

}  // namespace paleproof
