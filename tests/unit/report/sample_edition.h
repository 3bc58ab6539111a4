// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/result.h"

namespace paleproof::report_sample {

/// An edition of the invented game "Night Orchard" with every kind of content: proofs and a face
/// without, a back, an unreadable file, all rules, boxes, hostile and foreign names, twins, sheets,
/// cost, settings.
[[nodiscard]] EditionResult sample_edition();

/// The same deck with `count` ordinary faces, for size and speed.
[[nodiscard]] EditionResult large_edition(int count);

/// What `check` gives: no proofs.
[[nodiscard]] EditionResult checked_edition();

}  // namespace paleproof::report_sample
