// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/deck.h"
#include "core/finding.h"
#include "core/symbol.h"
#include "core/text_line.h"
#include "survey/symbol_parts.h"
#include "survey/text/proof_text.h"

namespace paleproof::plan {

/// What the text of a face is judged by. Defaults and their sources: docs/findings.md.
struct TextLimits {
    double min_text = 6.0;            ///< pt
    double min_reversed_text = 8.0;   ///< pt, light text on a dark ground
    Mm min_x_height{0.9};             ///< height of a small x on paper
    Mm min_reversed_x_height{1.1};    ///< the same, reversed
    double min_contrast = 4.5;        ///< WCAG 2.2 ratio on screen
    double min_large_contrast = 3.0;  ///< the same from 18 pt on, or 14 pt bold
    double min_paper_contrast = 3.0;  ///< ratio as printed on the separation's paper
    Mm safe{3.0};                     ///< distance from the trim that text keeps
    double min_confidence = 0.5;      ///< of a text line 0..1; less sure ones are not judged
};

/// Stricter text sizes by name: "food-label" (x-height 1.2 mm), "clear-print" (12 pt),
/// "large-print" (18 pt); "default" for the usual ones. Nothing for another name.
[[nodiscard]] std::optional<TextLimits> named_text_limits(std::string_view name);

/// text-small, text-faint and text-at-edge on the lines of one face, in this order.
///
/// A line is small when its x-height is under the minimum, or when the point size is: a warning if
/// no usual font could have this x-height at the minimum size, else a note, as the size of an
/// unknown font is known to about a sixth. Lines of capitals or figures only are judged by the
/// height of these. `best_paper_contrast` is what black text reaches on the bare paper.
[[nodiscard]] std::vector<Finding> text_findings(const std::string& face,
                                                 std::span<const TextLine> text,
                                                 const TrimPlacement& placement,
                                                 const TextLimits& limits,
                                                 double best_paper_contrast);

/// Sets proof_contrast and kept of a line from what the survey found of it in the proof. Kept: its
/// contrast is at least what large text needs on screen, or not less than on the source, where the
/// line was fainter; 93 % of its columns are there again; its size changed by no more than 5 %.
void judge_kept(TextLine& line, const survey::LineInProof& in_proof, const TextLimits& limits);

/// Sets proof_contrast and kept of a symbol from what the survey found of it in the proof. Kept:
/// its contrast is at least what large text needs on screen, or not less than on the source; 80 %
/// of its figure and 60 % of what lies around it are on their sides.
void judge_kept(Symbol& symbol, const survey::SymbolInProof& in_proof, const TextLimits& limits);

/// True for a line or a mark whose loss is an error: as sure as limits.min_confidence and readable
/// on the source.
[[nodiscard]] bool must_be_kept(const TextLine& line, const TextLimits& limits);

/// One finding `text-lost` for each line or mark that was not kept, severity error, and for each
/// symbol, and each kept line of which words were read on the source but not in the proof, severity
/// warning. Lines less sure than limits.min_confidence are left out.
[[nodiscard]] std::vector<Finding> lost_findings(const std::string& face,
                                                 std::span<const TextLine> text,
                                                 std::span<const Symbol> symbols,
                                                 const TextLimits& limits);

}  // namespace paleproof::plan
