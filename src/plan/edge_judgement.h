// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "plan/judgement.h"

namespace paleproof::plan {

/// The findings on a face's resolution, shape, frames and borders: art-coarse, size-off,
/// frame-at-trim, border-uneven, in that order. Limits and their sources: docs/findings.md.
[[nodiscard]] std::vector<Finding> edge_findings(const survey::FaceSurvey& face,
                                                 const Limits& limits);

}  // namespace paleproof::plan
