// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/piles.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>

#include "core/error.h"
#include "core/format.h"

namespace paleproof::sheet {
namespace {

constexpr int most_copies = 10000;
constexpr int most_cards = 100000;
/// Sizes nearer than this are one size: pixels rarely give a length exactly.
constexpr Mm same_size{0.05};

SizeMm upright(SizeMm size) {
    if (size.width > size.height) std::swap(size.width, size.height);
    return size;
}

bool same(SizeMm a, SizeMm b) {
    return std::abs((a.width - b.width).value) < same_size.value &&
           std::abs((a.height - b.height).value) < same_size.value;
}

/// Brings equal cards together; the first of each keeps its place.
void pack(Pile& pile) {
    std::map<std::pair<std::size_t, std::optional<std::size_t>>, std::size_t> first;
    for (std::size_t i = 0; i < pile.cards.size(); ++i) {
        first.emplace(std::pair{pile.cards[i].front, pile.cards[i].back}, i);
    }
    std::stable_sort(pile.cards.begin(), pile.cards.end(),
                     [&](const PrintedCard& a, const PrintedCard& b) {
                         return first.at({a.front, a.back}) < first.at({b.front, b.back});
                     });
}

/// The cards of a sheet while ink is spread.
struct Share {
    std::vector<std::size_t> cards;
    std::size_t room = 0;
    double ink = 0.0;
};

/// Swaps the pair of cards of two sheets that brings their inks nearest. False when none does.
bool swap_best(Share& heavy, Share& other, const std::vector<PrintedCard>& cards) {
    const double gap = heavy.ink - other.ink;
    double best = 0.0;
    std::pair<std::size_t, std::size_t> found{0, 0};
    for (std::size_t i = 0; i < heavy.cards.size(); ++i) {
        for (std::size_t j = 0; j < other.cards.size(); ++j) {
            const double moved = cards[heavy.cards[i]].ink - cards[other.cards[j]].ink;
            // The heavier of the two gets lighter by this much.
            const double gain = std::min(moved, gap - moved);
            if (gain > best + 1e-9) {
                best = gain;
                found = {i, j};
            }
        }
    }
    if (best <= 1e-9) return false;
    std::size_t& a = heavy.cards[found.first];
    std::size_t& b = other.cards[found.second];
    heavy.ink += cards[b].ink - cards[a].ink;
    other.ink += cards[a].ink - cards[b].ink;
    std::swap(a, b);
    return true;
}

}  // namespace

std::string measure(SizeMm size) {
    std::string width = millimeters(size.width);
    width.erase(width.find(' '));
    return width + " x " + millimeters(size.height);
}

std::vector<Pile> piles(std::span<const FaceShape> faces, std::span<const Card> cards,
                        const SheetOptions& options) {
    std::vector<Pile> result;
    long total = 0;
    for (const Card& card : cards) {
        if (card.copies < 0 || card.copies > most_copies) {
            throw Error(ErrorKind::range, "copies",
                        "expected 0 to " + std::to_string(most_copies) + ", got " +
                            std::to_string(card.copies));
        }
        total += card.copies;
        if (total > most_cards) {
            throw Error(ErrorKind::range, "copies",
                        "expected at most " + std::to_string(most_cards) +
                            " cards in one set of sheets; print the deck in parts");
        }
        if (card.front >= faces.size() || (card.back && *card.back >= faces.size())) {
            throw Error(ErrorKind::internal, "sheets",
                        "expected cards that name faces of the list, got one that does not");
        }
        if (card.copies == 0) continue;
        const SizeMm trim = faces[card.front].trim;
        PrintedCard printed;
        printed.front = card.front;
        printed.front_turn = trim.width > trim.height ? 1 : 0;
        printed.ink = faces[card.front].ink;
        if (options.backs == Backs::light) {
            printed.back = card.front;
            printed.light = true;
            printed.back_turn = printed.front_turn;
        } else if (options.backs == Backs::print && card.back) {
            const SizeMm back = faces[*card.back].trim;
            if (!same(upright(trim), upright(back))) {
                throw Error(ErrorKind::usage, "back",
                            "expected front and back of one size, got a front of " + measure(trim) +
                                " with a back of " + measure(back));
            }
            printed.back = card.back;
            printed.back_turn = back.width > back.height ? 1 : 0;
            printed.ink += faces[*card.back].ink;
        }
        auto pile = std::find_if(result.begin(), result.end(), [&](const Pile& other) {
            return same(other.size, upright(trim));
        });
        if (pile == result.end()) {
            result.push_back({upright(trim), {}});
            pile = std::prev(result.end());
        }
        pile->cards.insert(pile->cards.end(), static_cast<std::size_t>(card.copies), printed);
    }
    if (options.order == Order::packed) {
        for (Pile& pile : result) pack(pile);
    }
    return result;
}

void spread_ink(Pile& pile, std::size_t per_sheet) {
    const std::size_t count = pile.cards.size();
    if (per_sheet == 0 || count <= per_sheet) return;
    std::vector<Share> sheets((count + per_sheet - 1) / per_sheet);
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        sheets[i].room = std::min(per_sheet, count - i * per_sheet);
    }
    std::vector<std::size_t> by_ink(count);
    std::iota(by_ink.begin(), by_ink.end(), std::size_t{0});
    std::stable_sort(by_ink.begin(), by_ink.end(), [&](std::size_t a, std::size_t b) {
        return pile.cards[a].ink > pile.cards[b].ink;
    });
    for (const std::size_t card : by_ink) {
        Share* least = nullptr;
        for (Share& sheet : sheets) {
            if (sheet.cards.size() < sheet.room && (least == nullptr || sheet.ink < least->ink)) {
                least = &sheet;
            }
        }
        least->cards.push_back(card);
        least->ink += pile.cards[card].ink;
    }
    const std::size_t most_rounds = 4 * sheets.size();
    for (std::size_t round = 0; round < most_rounds; ++round) {
        const auto heaviest =
            std::max_element(sheets.begin(), sheets.end(),
                             [](const Share& a, const Share& b) { return a.ink < b.ink; });
        const auto lightest =
            std::min_element(sheets.begin(), sheets.end(),
                             [](const Share& a, const Share& b) { return a.ink < b.ink; });
        if (heaviest == lightest || !swap_best(*heaviest, *lightest, pile.cards)) break;
    }
    std::vector<PrintedCard> spread;
    spread.reserve(count);
    for (Share& sheet : sheets) {
        std::sort(sheet.cards.begin(), sheet.cards.end());
        for (const std::size_t card : sheet.cards) spread.push_back(pile.cards[card]);
    }
    pile.cards = std::move(spread);
}

}  // namespace paleproof::sheet
