// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

namespace paleproof::report {

/// `text` for HTML content and for attribute values in double or single quotes: valid UTF-8 with
/// & < > " ' as character references, and U+FFFD for control characters other than tab and newline,
/// which HTML forbids.
[[nodiscard]] std::string escaped(std::string_view text);

/// `text` as a cell of a CSV file (RFC 4180): valid UTF-8, in quotes where they are needed. A
/// spreadsheet would take some texts for a formula; those get an apostrophe in front (common
/// practice, no source).
[[nodiscard]] std::string csv_cell(std::string_view text);

}  // namespace paleproof::report
