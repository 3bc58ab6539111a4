// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "app/edition_record.h"
#include "core/result.h"

namespace paleproof::app {

enum class Change { changed, added, removed, unchanged };

[[nodiscard]] const char* name(Change change);

/// What became of one card since an earlier edition.
struct CardChange {
    std::string face;  ///< the card's front
    Change change = Change::unchanged;
    std::string reason;  ///< for a person, "" when there is nothing to say
    int copies = 0;      ///< in the new edition
    int print = 0;       ///< how many of these are to be printed
};

/// Sheets of one paper, all cards against those to be printed.
struct PaperSaved {
    SheetResult sheets;  ///< of the changed cards; its file is "" when there is nothing to print
    int papers_all = 0;  ///< that the whole edition takes
};

/// What changed between two editions.
struct Changes {
    std::string since;              ///< the earlier edition's name
    std::string edition;            ///< the newer one's
    std::vector<CardChange> cards;  ///< in deck order, the removed ones last
    /// Sums of total coverage over printed sides: in sides covered by one ink in full.
    double ink_all = 0.0;
    double ink_print = 0.0;
    std::vector<PaperSaved> papers;  ///< filled by whoever imposes
    [[nodiscard]] int count(Change change) const;
};

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
