// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <string>
#include <vector>

#include "core/finding.h"
#include "core/result.h"
#include "plan/deck_colors.h"

namespace paleproof::plan {

/// "#rrggbb"
[[nodiscard]] std::string hex(color::Rgb8 color);

/// The twins of a deck as its report tells them: gray-twins, then vision-twins, each kind with the
/// worst first; every pair once, with the places where its colors live. `surveys` are those that
/// `colors` was made from. What the gray map and the proofs make of them is left open.
[[nodiscard]] std::vector<Twin> told_twins(const DeckColors& colors,
                                           std::span<const survey::FaceSurvey> surveys);

/// One finding a twin, in the same order: of the face, where both colors live on one face alone,
/// else of the deck. A warning; a note where the proofs show the two as different as the limit
/// asks.
[[nodiscard]] std::vector<Finding> twin_findings(std::span<const Twin> twins);

}  // namespace paleproof::plan
