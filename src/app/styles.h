// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>

#include "app/job.h"
#include "color/separation.h"
#include "core/image.h"
#include "core/symbol.h"
#include "core/text_line.h"
#include "plan/deck_patterns.h"

namespace paleproof::app {

/// How a line of text is set in a proof. The later ones are for lines that the earlier ones lost.
enum class Guard {
    usual,   ///< letters cut out by color, soft halo
    strong,  ///< the same letters at full ink in a wider halo
    whole,   ///< everything in the line's box that has the text's color
    local    ///< every stroke that stands out from what lies right around it
};

/// An area of a color that a gray proof is to keep as dark as the deck's gray map has it.
struct CodeArea {
    RectPx box_px;  ///< in pixels of the source
    color::Rgb8 color;
};

/// One face before it gets its style.
struct StyleInput {
    const Image& source;                ///< srgb, gray or bilevel, as it was read
    RectPx trimmed;                     ///< where coverage is measured, within the picture
    double ink_budget = 1.0;            ///< mean coverage that the proof may have there
    std::span<const TextLine> text{};   ///< the lines that the survey found on the source
    std::span<const Symbol> symbols{};  ///< the small signs that the survey found there
    std::span<const RectPx> first{};    ///< boxes of flat signs whose lines come first
    std::span<const plan::FacePattern> patterns{};  ///< of hatch, places in pixels of the source
    /// How strongly each line is guarded, in the order of `text`; empty = all as usual.
    std::span<const Guard> guard{};
    /// The same for `symbols`.
    std::span<const Guard> symbol_guard{};
    const color::Separation* inks = nullptr;  ///< counts the inks of colored proofs
    std::span<const CodeArea> codes{};        ///< areas whose tone tells colors apart
    const Image* gray = nullptr;              ///< the source in gray, where it is known
};

/// The proof of a face in the style that the job asks for: as large as the source, or for drawn
/// styles of the same extent at 600 ppi. Each style has a function and a file of its own,
/// style_NAME.cpp.
[[nodiscard]] Image styled_proof(const StyleInput& face, Style style);

/// Styles that are drawn at a resolution of their own, over the face with its bleed: lines then run
/// on into the bleed as the art does.
[[nodiscard]] bool is_drawn(Style style);

/// Black lines on paper, 1 bit at 600 ppi; its text solid.
[[nodiscard]] Image line_proof(const StyleInput& face);

/// The same with patterns where color carries meaning.
[[nodiscard]] Image hatch_proof(const StyleInput& face);

/// The least coverage that the text of a face takes in a gray proof: as light as can just be read.
[[nodiscard]] double least_text_coverage(const StyleInput& face);

/// The face's own colors as a light wash under a drawing, its text solid; the budget is over all
/// inks.
[[nodiscard]] Image tint_proof(const StyleInput& face);

/// L*-based gray, lightened to the budget, its text dark on light.
[[nodiscard]] Image gray_proof(const StyleInput& face);

}  // namespace paleproof::app
