// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "core/result.h"

namespace paleproof::report {

/// report.json: everything an edition's report says, for other programs.
///
/// Input    any result, also of `check` (no proofs), without faces, or with unreadable ones.
/// Result   UTF-8 JSON with a final newline that docs/report.schema.json describes: keys in that
///          order and always present, null where nothing is known; shares 0..1, lengths in mm,
///          boxes [x, y, width, height] in pixels of the source face. Numbers are rounded (shares
///          to 5 decimals, lengths to 3), so the same result gives the same bytes.
/// Text     bytes that are no UTF-8 become U+FFFD.
/// Errors   Error{internal} naming the value when a number is not finite.
/// Source   DESIGN section 5; RFC 8259.
[[nodiscard]] std::string report_json(const EditionResult& edition);

}  // namespace paleproof::report
