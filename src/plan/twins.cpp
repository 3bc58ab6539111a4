// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/twins.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "color/difference.h"

namespace paleproof::plan {
namespace {

constexpr std::array visions{color::Vision::protan, color::Vision::deutan, color::Vision::tritan};

/// Worst first; then what more faces show.
void sort_worst_first(std::vector<TwinPair>& twins, const DeckPalette& palette) {
    std::ranges::stable_sort(twins, [&](const TwinPair& x, const TwinPair& y) {
        const double dx = std::round(x.difference * 100.0), dy = std::round(y.difference * 100.0);
        if (dx != dy) return dx < dy;
        return palette.pairs[x.pair].faces > palette.pairs[y.pair].faces;
    });
}

bool within(const std::vector<std::size_t>& inner, const std::vector<std::size_t>& outer) {
    return std::ranges::includes(outer, inner);
}

/// Whether one pair tells at least those faces apart that the other does.
bool tells_as_much(const TellingPair& large, const TellingPair& small) {
    return (within(small.faces_a, large.faces_a) && within(small.faces_b, large.faces_b)) ||
           (within(small.faces_a, large.faces_b) && within(small.faces_b, large.faces_a));
}

/// Whether a color of a code marks the faces that another color marks: at least half of them, and
/// none that the code's other color marks. (A code may be hidden or missed on a face.)
bool marks(const std::vector<std::size_t>& code, const std::vector<std::size_t>& against,
           const std::vector<std::size_t>& faces) {
    const auto in = [&](const std::vector<std::size_t>& list) {
        return static_cast<std::size_t>(std::ranges::count_if(
            faces, [&](std::size_t face) { return std::ranges::binary_search(list, face); }));
    };
    return 2 * in(code) >= faces.size() && in(against) == 0;
}

/// Whether a code tells the faces of a smaller pair apart.
bool tells_apart(const TellingPair& code, const TellingPair& small) {
    const std::vector<std::size_t>& a = code.faces_a;
    const std::vector<std::size_t>& b = code.faces_b;
    return (marks(a, b, small.faces_a) && marks(b, a, small.faces_b)) ||
           (marks(a, b, small.faces_b) && marks(b, a, small.faces_a));
}

/// Of the smaller of the two colors, on one face.
double area_a_face(const TellingPair& pair, const DeckPalette& palette) {
    const auto of = [&palette](std::size_t cluster, std::size_t faces) {
        return palette.clusters[cluster].share / static_cast<double>(faces);
    };
    return std::min({1.0, of(pair.a, pair.faces_a.size()), of(pair.b, pair.faces_b.size())});
}

/// A code that a deck repeats: each of the two colors on two faces or more.
bool is_code(const TellingPair& pair) {
    return pair.relation == Relation::same_place && pair.faces_a.size() > 1 &&
           pair.faces_b.size() > 1;
}

/// What two faces are told apart by is often colored more than once: pennant, frame, pips. Twins of
/// smaller areas say nothing new where a larger code tells their faces apart and stays clear.
void drop_told_otherwise(std::vector<TwinPair>& twins, const std::vector<std::size_t>& clear,
                         const DeckPalette& palette) {
    std::erase_if(twins, [&](const TwinPair& twin) {
        const TellingPair& small = palette.pairs[twin.pair];
        if (small.relation != Relation::same_place) return false;
        const double of_small = area_a_face(small, palette);
        return std::ranges::any_of(clear, [&](std::size_t i) {
            const TellingPair& large = palette.pairs[i];
            return is_code(large) && area_a_face(large, palette) > of_small &&
                   tells_apart(large, small);
        });
    });
}

/// The twins of smaller areas that merge no other faces than a larger one does are put with it.
std::vector<TwinPair> folded(std::vector<TwinPair> twins, const DeckPalette& palette) {
    const auto share = [&](const TwinPair& twin) {
        const TellingPair& pair = palette.pairs[twin.pair];
        return std::min(palette.clusters[pair.a].share, palette.clusters[pair.b].share);
    };
    std::ranges::stable_sort(
        twins, [&](const TwinPair& x, const TwinPair& y) { return share(x) > share(y); });
    std::vector<TwinPair> result;
    for (TwinPair& twin : twins) {
        const TellingPair& small = palette.pairs[twin.pair];
        const auto larger = std::ranges::find_if(result, [&](const TwinPair& other) {
            return tells_as_much(palette.pairs[other.pair], small);
        });
        if (larger == result.end()) {
            result.push_back(std::move(twin));
        } else {
            larger->also.push_back(twin.pair);
        }
    }
    return result;
}

/// Letters are thin and show less of their color than areas do.
double told_apart_limit(const TellingPair& pair, const DeckPalette& palette, double limit) {
    constexpr double of_text = 1.5;
    const bool text = std::ranges::all_of(pair.witnesses, [&](const TellingPair::Witness& w) {
        return palette.clusters[pair.a].places[w.a].kind == survey::AreaKind::text;
    });
    return text ? of_text * limit : limit;
}

template <class Judge>
std::vector<TwinPair> judged(const DeckPalette& palette, const TwinLimits& limits, Judge judge) {
    std::vector<TwinPair> twins;
    std::vector<std::size_t> clear;
    for (std::size_t i = 0; i < palette.pairs.size(); ++i) {
        const ColorCluster& a = palette.clusters[palette.pairs[i].a];
        const ColorCluster& b = palette.clusters[palette.pairs[i].b];
        const double apart = color::ciede2000(a.lab, b.lab);
        if (apart < told_apart_limit(palette.pairs[i], palette, limits.told_apart)) continue;
        TwinPair twin = judge(a, b);
        twin.pair = i;
        twin.color_difference = apart;
        if (twin.difference < twin.limit) {
            twins.push_back(twin);
        } else {
            clear.push_back(i);
        }
    }
    drop_told_otherwise(twins, clear, palette);
    twins = folded(std::move(twins), palette);
    sort_worst_first(twins, palette);
    return twins;
}

}  // namespace

double lightness_gray(color::Rgb8 color) { return color::lab(color).l; }

std::vector<TwinPair> gray_twins(const DeckPalette& palette, const TwinLimits& limits,
                                 const GrayOf& gray) {
    return judged(palette, limits, [&](const ColorCluster& a, const ColorCluster& b) {
        return TwinPair{.rule = Rule::gray_twins,
                        .difference = std::abs(gray(a.color) - gray(b.color)),
                        .limit = limits.min_gray_difference};
    });
}

std::vector<TwinPair> vision_twins(const DeckPalette& palette, const TwinLimits& limits) {
    std::vector<color::VisionModel> models;
    for (const color::Vision vision : visions) models.emplace_back(vision, limits.vision_severity);
    const std::array checks{color::vienot(color::Vision::protan),
                            color::vienot(color::Vision::deutan)};
    return judged(palette, limits, [&](const ColorCluster& a, const ColorCluster& b) {
        TwinPair twin{.rule = Rule::vision_twins, .limit = limits.min_vision_difference};
        std::size_t worst = 0;
        for (std::size_t i = 0; i < models.size(); ++i) {
            const double d = color::ciede2000(models[i].lab(a.color), models[i].lab(b.color));
            if (i == 0 || d < twin.difference) {
                twin.difference = d;
                worst = i;
            }
        }
        twin.vision = visions[worst];
        // The 1999 model knows a missing cone type only, so it checks nothing milder.
        if (worst < checks.size() && limits.vision_severity == 1.0) {
            twin.cross_check =
                color::ciede2000(checks[worst].lab(a.color), checks[worst].lab(b.color));
        }
        return twin;
    });
}

}  // namespace paleproof::plan
