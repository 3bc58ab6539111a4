// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/result.h"

namespace paleproof::report {

/// Solid ink of one rated page, in mm2: 5 % of an A4 page (docs/units.md#page-yield).
inline constexpr double rated_page_mm2 = 0.05 * 210.0 * 297.0;

/// What sources, or proofs, take of ink.
struct InkSide {
    std::array<double, 4> ink_pages{};    ///< rated pages of each ink, c m y k, of the whole deck
    double pages = 0.0;                   ///< their sum
    std::vector<double> face_pages;       ///< of all printed sides of each face; 0 where unknown
    std::vector<double> face_share;       ///< the same as a share of the deck's, 0..1
    std::vector<double> cartridge_share;  ///< of each cartridge, by the ink that it lacks first
    std::vector<double> face_money;       ///< of one printed side
    double money = 0.0;                   ///< of the whole deck
};

/// Ink in pages, cartridges and money. A cartridge of several inks is empty when the first of them
/// is: its cost follows the ink that the deck takes most of, for faces as for the deck, so that the
/// faces' money sums up to the deck's. Trimmed areas only; nothing for cleaning or for the bleed.
struct InkCost {
    InkSide source;
    std::optional<InkSide> proof;  ///< none for `check`
    bool priced = false;           ///< some cartridge has a price
    std::string unpriced;          ///< inks that are used and in no cartridge, "cmy"
};

[[nodiscard]] InkCost ink_cost(const EditionResult& edition);

/// Indices of the faces by what all their printed sides take, most first; of the proofs where there
/// are any, else of the sources.
[[nodiscard]] std::vector<std::size_t> by_ink(const EditionResult& edition, const InkCost& cost);

/// The deck's cost in money, for EditionResult::cost; none without prices.
[[nodiscard]] std::optional<DeckCost> deck_cost(const EditionResult& edition,
                                                const std::string& currency);

}  // namespace paleproof::report
