// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "app/edition_record.h"
#include "core/edition_changes.h"

namespace paleproof::app {

using paleproof::CardChange;
using paleproof::Change;
using paleproof::Changes;
using paleproof::PaperSaved;

/// Compares the cards of two editions: those with copies, by the name of the front, or, renamed, by
/// the same picture. A card has changed when its size, the look of its front, that of its back
/// (only where `backs` are printed) or the number of copies has. Looks count as the same up to
/// look_tolerance(). Copies that came on are printed alone; fewer need no print.
[[nodiscard]] Changes changes_between(const EditionRecord& before, const EditionRecord& now,
                                      bool backs);

/// The record with the copies that are to be printed; what is not, has none.
[[nodiscard]] EditionRecord to_print(const EditionRecord& now, const Changes& changes);

/// changes.json, described in docs/sheets.md.
[[nodiscard]] std::string changes_json(const Changes& changes);

/// The lines that the command prints.
[[nodiscard]] std::string changes_summary(const Changes& changes);

}  // namespace paleproof::app
