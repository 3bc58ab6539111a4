// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "core/result.h"

namespace paleproof::report {

/// A page that is larger than that is slow to open: its pictures are to lie beside it.
inline constexpr std::size_t most_page_bytes = 6'000'000;
/// Pictures of so many bytes make the page larger than that by themselves, as base64.
inline constexpr std::size_t most_picture_bytes = most_page_bytes / 4 * 3;

/// A file that belongs to the report.
struct ReportPicture {
    std::string name;  ///< "report-pictures/face-1-source.jpg"
    std::string jpeg;
};

/// Takes the bytes of a face's pictures out of its result, to be written beside the page as the
/// files that the result names from then on; `index` is its place in the deck. Pictures that lie
/// there already, or are not there, are left alone.
[[nodiscard]] std::vector<ReportPicture> pictures_beside(FaceResult& face, std::size_t index);
/// The same for all that an edition still holds.
[[nodiscard]] std::vector<ReportPicture> pictures_beside(EditionResult& edition);

/// report.html: one page that shows the edition to the person who designs the deck.
///
/// Input    any result, also of `check` (no proofs), without faces, or with unreadable ones.
/// Result   one self-contained HTML document in UTF-8: styles, script and thumbnails are inside, a
///          content security policy forbids every request and every other script. Readable without
///          script; filters, ticks, the comparison slider and the views need it. Pictures that
///          lie beside it (Thumbnail::file) are read as they are scrolled to; the page may then
///          ask for them, and still for nothing else.
/// Text     escaped everywhere; bytes that are no UTF-8 become U+FFFD.
/// Size     about 1.35 times the thumbnails, plus 10 KB a face, plus 40 KB.
/// Errors   none
/// Source   own construction; color vision filters: docs/report.md.
[[nodiscard]] std::string report_html(const EditionResult& edition);

}  // namespace paleproof::report
