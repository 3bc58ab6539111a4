// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "core/finding.h"
#include "plan/face_plan.h"
#include "plan/text_judgement.h"
#include "survey/face_survey.h"

namespace paleproof::plan {

/// What a face is judged by. Defaults and their sources: docs/findings.md.
struct Limits {
    Mm bleed{3.0};  ///< art that should reach past the trim
    double min_ppi = 200.0;
    Mm cut_wander{1.0};                 ///< how far a cut may lie off
    std::optional<double> total_limit;  ///< total coverage 0..4; none = ink is not judged
    TextLimits text;
    double best_paper_contrast = 21.0;  ///< what black on this paper reaches
};

/// The findings on one face, in the order of the rules.
[[nodiscard]] std::vector<Finding> findings(const survey::FaceSurvey& face, const Limits& limits);

/// The finding for a proof whose coverage stays over its budget, or nothing within 0.002 of it.
/// `text` is what its guarded text takes of that coverage: it stands in the way.
[[nodiscard]] std::optional<Finding> budget_finding(const std::string& face, double coverage,
                                                    double budget, double text);

/// Says in the `bleed-missing` findings of a face how the proof comes by what is missing.
void tell_bleed(std::vector<Finding>& findings, const FacePlan& plan);

/// Says in the `text-faint` findings of a face which of the lines the proof shows well enough.
void tell_repaired(std::vector<Finding>& findings, std::span<const TextLine> text,
                   const TextLimits& limits);

/// The finding for a file that could not be read.
[[nodiscard]] Finding unreadable(const std::string& face, const std::string& reason);

}  // namespace paleproof::plan
