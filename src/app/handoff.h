// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "app/edition_record.h"

namespace paleproof::app {

/// What an imposition step needs to know of pages.pdf and faces/, one row or object a page in the
/// order of the pages. docs/handoff.md describes both.
///
/// UTF-8; CSV as RFC 4180 with CR LF. Lengths in mm with three decimals, boxes as x, y, width,
/// height from the top left of the page or picture.
[[nodiscard]] std::string handoff_csv(const EditionRecord& record);
[[nodiscard]] std::string handoff_json(const EditionRecord& record);

}  // namespace paleproof::app
