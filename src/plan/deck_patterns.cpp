// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/deck_patterns.h"

#include <algorithm>
#include <utility>

#include "plan/hatch_code.h"

namespace paleproof::plan {
namespace {

constexpr double dark = 30.0;  // L*: darker areas are a mood more often than a meaning
constexpr double often = 0.4;  // of the faces of the pair that shows on most of them
constexpr std::size_t least_faces = 2;

bool is_area(survey::AreaKind kind) {
    return kind == survey::AreaKind::symbol || kind == survey::AreaKind::panel ||
           kind == survey::AreaKind::border;
}

/// Whether both sides of a pair have a color to show and are areas rather than letters or rules.
bool counts(const DeckPalette& palette, const TellingPair& pair, const std::vector<bool>& colored) {
    if (!colored[pair.a] || !colored[pair.b] || pair.faces < least_faces) return false;
    if (pair.witnesses.empty()) return true;
    const auto& w = pair.witnesses.front();
    return is_area(palette.clusters[pair.a].places[w.a].kind) &&
           is_area(palette.clusters[pair.b].places[w.b].kind);
}

/// The clusters of all pairs of one relation that show about as often as the one that shows most.
std::vector<bool> often_told(const DeckPalette& palette, Relation relation,
                             const std::vector<bool>& colored) {
    std::size_t most = 0;
    const auto meant = [&](const TellingPair& pair) {
        return pair.relation == relation && counts(palette, pair, colored);
    };
    for (const TellingPair& pair : palette.pairs) {
        if (meant(pair)) most = std::max(most, pair.faces);
    }
    std::vector<bool> told(palette.clusters.size(), false);
    for (const TellingPair& pair : palette.pairs) {
        if (!meant(pair) || static_cast<double>(pair.faces) < often * static_cast<double>(most))
            continue;
        told[pair.a] = told[pair.b] = true;
    }
    return told;
}

}  // namespace

DeckPatterns deck_patterns(const DeckPalette& palette, std::size_t faces) {
    std::vector<TellingColor> colors;
    for (const ColorCluster& cluster : palette.clusters) {
        colors.push_back({cluster.color, cluster.share});
    }
    std::vector<std::pair<std::size_t, std::size_t>> apart;
    for (const TellingPair& pair : palette.pairs) apart.emplace_back(pair.a, pair.b);
    const std::vector<ColorPattern> all = hatch_code(colors, {});
    std::vector<bool> colored;
    for (std::size_t i = 0; i < all.size(); ++i) {
        colored.push_back(all[i].sample != PatternSample{} && palette.clusters[i].lab.l >= dark);
    }
    std::vector<bool> tells = often_told(palette, Relation::same_place, colored);
    if (std::ranges::none_of(tells, [](bool t) { return t; })) {
        tells = often_told(palette, Relation::side_by_side, colored);
    }
    // Only those that tell have to be told apart.
    std::erase_if(apart,
                  [&](const auto& pair) { return !tells[pair.first] || !tells[pair.second]; });
    const std::vector<ColorPattern> code = hatch_code(colors, apart);
    DeckPatterns result;
    result.faces.resize(faces);
    for (std::size_t i = 0; i < code.size(); ++i) {
        if (!tells[i]) continue;
        bool used = false;
        for (const ColorPlace& place : palette.clusters[i].places) {
            if (place.face >= faces || !is_area(place.kind)) continue;
            auto& patterns = result.faces[place.face];
            if (patterns.empty() || patterns.back().pattern.color != code[i].color) {
                patterns.push_back({code[i], {}});
            }
            patterns.back().places.push_back(place.box_px);
            used = true;
        }
        const bool listed = std::ranges::any_of(
            result.legend, [&](const LegendEntry& entry) { return entry.label == code[i].label; });
        if (used && !listed) result.legend.push_back({code[i].label, code[i].sample});
    }
    return result;
}

}  // namespace paleproof::plan
