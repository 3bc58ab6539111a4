// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "core/result.h"

namespace paleproof::report {

/// report.html: one page that shows the edition to the person who designs the deck.
///
/// Input    any result, also of `check` (no proofs), without faces, or with unreadable ones.
/// Result   one self-contained HTML document in UTF-8: styles, script and thumbnails are inside, a
///          content security policy forbids every request and every other script. Readable without
///          script; filters, ticks, the comparison slider and the views need it.
/// Text     escaped everywhere; bytes that are no UTF-8 become U+FFFD.
/// Size     about 1.35 times the thumbnails, plus 10 KB a face, plus 40 KB.
/// Errors   none
/// Source   own construction; color vision filters: docs/report.md.
[[nodiscard]] std::string report_html(const EditionResult& edition);

}  // namespace paleproof::report
