// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "core/sheet_result.h"

namespace paleproof {

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
    bool same_grays = false;        ///< both were grayed by one map
    std::vector<CardChange> cards;  ///< in deck order, the removed ones last
    /// Sums of total coverage over printed sides: in sides covered by one ink in full.
    double ink_all = 0.0;
    double ink_print = 0.0;
    std::vector<PaperSaved> papers;  ///< filled by whoever imposes
    [[nodiscard]] int count(Change change) const {
        return static_cast<int>(std::ranges::count(cards, change, &CardChange::change));
    }
};

}  // namespace paleproof
