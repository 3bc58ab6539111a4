// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "core/result.h"

namespace paleproof::report {

/// A file that belongs to the report.
struct ReportPicture {
    std::string name;  ///< "report-pictures/face-1-source.jpg"
    std::string jpeg;
};

/// The page, and what lies beside it.
struct ReportPage {
    std::string html;
    std::vector<ReportPicture> pictures;  ///< empty when the page holds them itself
};

/// As report_html; when its pictures would make the page larger than 6 MB they lie in a
/// folder beside it instead, and a browser reads them as they are scrolled to. The page may then
/// ask for these pictures, and still for nothing else.
[[nodiscard]] ReportPage report_page(const EditionResult& edition);

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
