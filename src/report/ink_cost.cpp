// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/ink_cost.h"

#include <algorithm>
#include <numeric>
#include <string_view>

#include "report/deck_sums.h"

namespace paleproof::report {
namespace {

constexpr std::string_view ink_names = "cmyk";

std::array<double, 4> shares(const InkUse& use) { return {use.c, use.m, use.y, use.k}; }

using InkOf = const std::optional<InkUse>& (*)(const FaceResult&);

InkSide side_of(const EditionResult& edition, const std::vector<int>& printed, InkOf ink_of) {
    InkSide side;
    // Rated pages of each ink that one printed side of each face takes.
    std::vector<std::array<double, 4>> once(edition.faces.size());
    for (std::size_t i = 0; i < edition.faces.size(); ++i) {
        const FaceResult& face = edition.faces[i];
        const auto& use = ink_of(face);
        double pages = 0.0;
        if (face.readable && use) {
            const std::array<double, 4> coverage = shares(*use);
            for (std::size_t ink = 0; ink < 4; ++ink) {
                once[i][ink] = coverage[ink] * trim_area_mm2(face) / rated_page_mm2;
                side.ink_pages[ink] += once[i][ink] * printed[i];
                pages += once[i][ink] * printed[i];
            }
        }
        side.face_pages.push_back(pages);
        side.pages += pages;
    }
    for (const double pages : side.face_pages) {
        side.face_share.push_back(side.pages > 0.0 ? pages / side.pages : 0.0);
    }
    side.face_money.assign(edition.faces.size(), 0.0);
    for (const Cartridge& cartridge : edition.cartridges) {
        std::size_t first = ink_names.find(cartridge.inks.front());
        for (const char name : cartridge.inks) {
            const std::size_t ink = ink_names.find(name);
            if (side.ink_pages[ink] > side.ink_pages[first]) first = ink;
        }
        const double share = side.ink_pages[first] / cartridge.pages;
        side.cartridge_share.push_back(share);
        side.money += share * cartridge.price;
        for (std::size_t i = 0; i < once.size(); ++i) {
            side.face_money[i] += once[i][first] / cartridge.pages * cartridge.price;
        }
    }
    return side;
}

}  // namespace

InkCost ink_cost(const EditionResult& edition) {
    const std::vector<int> printed = printed_sides(edition.faces);
    InkCost cost;
    cost.source = side_of(
        edition, printed, [](const FaceResult& f) -> const auto& { return f.source_ink; });
    const bool made = std::ranges::any_of(
        edition.faces, [](const FaceResult& f) { return f.proof_ink.has_value(); });
    if (made) {
        cost.proof = side_of(
            edition, printed, [](const FaceResult& f) -> const auto& { return f.proof_ink; });
    }
    cost.priced =
        std::ranges::any_of(edition.cartridges, [](const Cartridge& c) { return c.price > 0.0; });
    for (std::size_t ink = 0; ink < ink_names.size(); ++ink) {
        const bool in_one = std::ranges::any_of(edition.cartridges, [&](const Cartridge& c) {
            return c.inks.find(ink_names[ink]) != std::string::npos;
        });
        if (!in_one && cost.source.ink_pages[ink] > 0.0) cost.unpriced += ink_names[ink];
    }
    return cost;
}

std::vector<std::size_t> by_ink(const EditionResult& edition, const InkCost& cost) {
    const std::vector<double>& pages = (cost.proof ? *cost.proof : cost.source).face_pages;
    std::vector<std::size_t> order(edition.faces.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order,
                             [&](std::size_t x, std::size_t y) { return pages[x] > pages[y]; });
    return order;
}

std::optional<DeckCost> deck_cost(const EditionResult& edition, const std::string& currency) {
    const InkCost cost = ink_cost(edition);
    if (!cost.priced) return std::nullopt;
    DeckCost result{currency, cost.source.money, std::nullopt};
    if (cost.proof) result.proof = cost.proof->money;
    return result;
}

}  // namespace paleproof::report
