// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "core/result.h"

namespace paleproof::report {

/// ink.csv: the ink of every face before and after, for a spreadsheet.
///
/// Input    any result; faces without a measurement keep their row, with empty cells.
/// Result   UTF-8, RFC 4180: a header row, a row for each face, a last row for the deck; lines end
///          with CR LF. Coverage is a share 0..1 (total and peak 0..4), solid ink is in cm2 of full
///          tone over all printed sides. The deck's coverage is the mean over the printed area,
///          its peak the highest, its solid ink and counts are sums.
/// Text     a cell that a spreadsheet would take for a formula (it begins with = + - @ or a control
///          character) is led by an apostrophe; bytes that are no UTF-8 become U+FFFD.
/// Errors   none
/// Source   RFC 4180; the apostrophe is common practice, no source.
[[nodiscard]] std::string ink_csv(const EditionResult& edition);

}  // namespace paleproof::report
