// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/gray_map.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <optional>
#include <utility>
#include <vector>

#include "color/difference.h"
#include "core/error.h"
#include "plan/map_nodes.h"
#include "plan/tone_field.h"
#include "plan/tone_layout.h"
#include "plan/twin_report.h"

namespace paleproof::plan {
namespace {

using color::Lab;

constexpr double neutral_chroma = 4.0;  // of a color that has no hue to speak of
constexpr double full_chroma = 14.0;    // from here on a color may move freely
constexpr double margin = 1.25;         // of the limit, between colors that were twins
constexpr double clear_order = 15.0;    // L*: colors this far apart keep their order
constexpr double most_move = 40.0;      // L*
constexpr double least_radius = 7.0;    // CIELAB
constexpr double most_radius = 24.0;
constexpr double same_color = 3.0;  // CIELAB, of a pin and a color of the deck
constexpr std::size_t most_anchors = 96;
constexpr std::size_t least_neighbors = 64;  // of a face, in a deck of very many
constexpr int corrections = 4;

/// A color whose gray is settled, and how far around it the shift reaches.
struct Anchor {
    Lab lab;
    color::Rgb8 color;
    double target = 0.0;  ///< L*
    double radius = 0.0;
    double pull = 0.0;  ///< weight of its kernel
};

/// L* of the gray in which a color is printed.
using Printed = std::function<double(color::Rgb8)>;

double chroma(const Lab& lab) { return std::hypot(lab.a, lab.b); }

/// 0 for neutrals, 1 from full_chroma on, smooth between.
double freedom(const Lab& lab) {
    const double t = std::clamp(chroma(lab) / full_chroma, 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

double kernel(const Anchor& anchor, const Lab& lab, double free) {
    const double dl = anchor.lab.l - lab.l, da = anchor.lab.a - lab.a, db = anchor.lab.b - lab.b;
    const double d = (dl * dl + da * da + db * db) / (anchor.radius * anchor.radius);
    return d > 16.0 ? 0.0 : free * std::exp(-0.5 * d);
}

double shift_of(const std::vector<Anchor>& anchors, const Lab& lab) {
    const double free = freedom(lab);
    if (free == 0.0) return 0.0;
    double sum = 0.0;
    for (const Anchor& anchor : anchors) {
        if (anchor.pull != 0.0) sum += anchor.pull * kernel(anchor, lab, free);
    }
    return std::clamp(sum, -most_move, most_move);
}

/// Solves for the pulls that give each anchor the shift in `wanted`: elimination with pivoting.
void solve(std::vector<Anchor>& anchors, std::vector<double> wanted) {
    const std::size_t n = anchors.size();
    std::vector<std::vector<double>> m(n, std::vector<double>(n));
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = 0; j < n; ++j) {
            m[i][j] = kernel(anchors[j], anchors[i].lab, freedom(anchors[i].lab));
        }
        m[i][i] += 1e-3;
    }
    for (std::size_t k = 0; k < n; ++k) {
        std::size_t pivot = k;
        for (std::size_t i = k + 1; i < n; ++i) {
            if (std::abs(m[i][k]) > std::abs(m[pivot][k])) pivot = i;
        }
        std::swap(m[k], m[pivot]);
        std::swap(wanted[k], wanted[pivot]);
        for (std::size_t i = k + 1; i < n; ++i) {
            const double f = m[i][k] / m[k][k];
            if (f == 0.0) continue;
            for (std::size_t j = k; j < n; ++j) m[i][j] -= f * m[k][j];
            wanted[i] -= f * wanted[k];
        }
    }
    for (std::size_t k = n; k-- > 0;) {
        double sum = wanted[k];
        for (std::size_t j = k + 1; j < n; ++j) sum -= m[k][j] * anchors[j].pull;
        anchors[k].pull = sum / m[k][k];
    }
}

/// As many neighbors of each face, evenly taken: what one face has does not decide which of the
/// others are looked at.
std::vector<survey::Neighbors> neighbors_of(std::span<const survey::FaceSurvey> surveys) {
    const std::size_t most = std::max<std::size_t>(
        least_neighbors, ToneField::most_pairs / std::max<std::size_t>(1, surveys.size()));
    std::vector<survey::Neighbors> all;
    for (const survey::FaceSurvey& face : surveys) {
        const std::vector<survey::Neighbors>& own = face.palette.neighbors;
        const std::size_t used = std::min(own.size(), most);
        for (std::size_t k = 0; k < used; ++k) all.push_back(own[k * own.size() / used]);
    }
    return all;
}

/// What the clusters of telling pairs must keep between them.
std::vector<ToneGap> gaps_of(const DeckPalette& palette, const TwinLimits& limits,
                             const std::vector<double>& start, bool carried) {
    std::vector<bool> twin(palette.pairs.size(), false);
    for (const TwinPair& pair : gray_twins(palette, limits)) {
        twin[pair.pair] = true;
        for (const std::size_t i : pair.also) twin[i] = true;
    }
    std::vector<ToneGap> gaps;
    for (std::size_t i = 0; i < palette.pairs.size(); ++i) {
        const TellingPair& pair = palette.pairs[i];
        const Lab &a = palette.clusters[pair.a].lab, &b = palette.clusters[pair.b].lab;
        if (color::ciede2000(a, b) < limits.told_apart) continue;
        const bool a_lighter = a.l > b.l;
        ToneGap gap{a_lighter ? pair.a : pair.b, a_lighter ? pair.b : pair.a, 0.0, false};
        const double apart = std::abs(a.l - b.l);
        if (twin[i]) {
            gap.gap = margin * limits.min_gray_difference;
            // An earlier map had the same aim: what it has told apart stays where it is.
            if (carried) gap.enough = limits.min_gray_difference;
        } else if (apart >= limits.min_gray_difference) {
            // Clear by lightness: it is not to become a twin by what is done to others.
            gap.gap = std::min(apart, margin * limits.min_gray_difference);
            gap.enough = limits.min_gray_difference;
        } else {
            continue;
        }
        gap.ordered = apart >= clear_order;
        if (!gap.ordered && start[gap.a] < start[gap.b]) std::swap(gap.a, gap.b);
        gaps.push_back(gap);
    }
    return gaps;
}

std::vector<double> pin_targets(std::span<const GrayPin> pins) {
    check_pins(pins);
    std::vector<double> targets;
    for (const GrayPin& pin : pins) {
        targets.push_back(color::lightness(color::linear_of(pin.gray)));
    }
    return targets;
}

std::optional<std::size_t> pin_near(std::span<const GrayPin> pins, const Lab& lab) {
    for (std::size_t i = 0; i < pins.size(); ++i) {
        if (color::delta_e76(lab, color::lab(pins[i].color)) < same_color) return i;
    }
    return std::nullopt;
}

/// Where the clusters' grays begin and how far they may go: pinned ones not at all.
std::vector<ToneWish> wishes_of(const DeckPalette& palette, std::span<const GrayPin> pins,
                                const Printed& printed) {
    const std::vector<double> pinned = pin_targets(pins);
    std::vector<ToneWish> wishes;
    for (const ColorCluster& cluster : palette.clusters) {
        const Lab& lab = cluster.lab;
        const double from = printed(cluster.color);
        const double reach =
            chroma(lab) < neutral_chroma ? 0.0 : std::min(most_move, 1.2 * chroma(lab));
        ToneWish wish{from, std::max(3.0, from - reach), std::min(97.0, from + reach)};
        if (reach == 0.0) wish = {from, from, from};
        if (const auto pin = pin_near(pins, lab)) {
            wish = {pinned[*pin], pinned[*pin], pinned[*pin]};
        }
        wish.lowest = std::min(wish.lowest, wish.start);
        wish.highest = std::max(wish.highest, wish.start);
        wishes.push_back(wish);
    }
    return wishes;
}

double reach_of(const std::vector<Anchor>& anchors, std::size_t of) {
    double nearest = 2.0 * most_radius;
    for (std::size_t i = 0; i < anchors.size(); ++i) {
        if (i != of) nearest = std::min(nearest, color::delta_e76(anchors[of].lab, anchors[i].lab));
    }
    return std::clamp(0.5 * nearest, least_radius, most_radius);
}

/// Pins, the colors that move, and those near to them that tell something and are to stay.
std::vector<Anchor> anchors_of(const DeckPalette& palette, const TwinLimits& limits,
                               std::span<const GrayPin> pins, const Printed& printed,
                               bool carried) {
    constexpr double held_within = 2.5;  // radii: beyond, a kernel moves by less than 2 L*
    const std::vector<ToneWish> wishes = wishes_of(palette, pins, printed);
    std::vector<double> start;
    for (const ToneWish& wish : wishes) start.push_back(wish.start);
    const std::vector<ToneGap> gaps = gaps_of(palette, limits, start, carried);
    const ToneMoves layout = tone_moves(wishes, gaps);
    std::vector<bool> told(palette.clusters.size(), false);
    for (const ToneGap& gap : gaps) told[gap.a] = told[gap.b] = true;

    std::vector<Anchor> all;
    std::vector<bool> moves;
    const std::vector<double> pinned = pin_targets(pins);
    for (std::size_t i = 0; i < pins.size(); ++i) {
        const Lab lab = color::lab(pins[i].color);
        if (pin_near(pins, lab) != i) continue;
        all.push_back({lab, pins[i].color, pinned[i], 0.0, 0.0});
        moves.push_back(true);
    }
    for (std::size_t i = 0; i < palette.clusters.size() && all.size() < most_anchors; ++i) {
        const ColorCluster& cluster = palette.clusters[i];
        if (!told[i] || chroma(cluster.lab) < neutral_chroma || pin_near(pins, cluster.lab))
            continue;
        all.push_back({cluster.lab, cluster.color, layout.at[i], 0.0, 0.0});
        moves.push_back(layout.moved[i]);
    }
    std::vector<bool> kept = moves;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (!moves[i]) continue;
        const double reach = held_within * reach_of(all, i);
        for (std::size_t k = 0; k < all.size(); ++k) {
            if (color::delta_e76(all[i].lab, all[k].lab) <= reach) kept[k] = true;
        }
    }
    std::vector<Anchor> anchors;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (kept[i]) anchors.push_back(all[i]);
    }
    return anchors;
}

/// Shifts that differ meet halfway: a kernel reaches to about where its neighbor's begins.
void set_radii(std::vector<Anchor>& anchors) {
    for (std::size_t i = 0; i < anchors.size(); ++i) anchors[i].radius = reach_of(anchors, i);
}

/// The table, or for `wanted` only what it has around some colors.
color::GrayTable table_of(const std::vector<MapNode>& nodes, const std::vector<Anchor>& anchors,
                          const std::vector<bool>* wanted = nullptr) {
    std::size_t next = 0;
    return color::GrayTable([&](double r, double g, double b) {
        const std::size_t i = next++;
        if ((wanted != nullptr && !(*wanted)[i]) || (r == g && g == b)) return r;
        const MapNode& node = nodes[i];
        const double l = std::clamp(node.lightness + shift_of(anchors, node.lab), 0.0, 100.0);
        return 255.0 * color::encoded(color::luminance_of_lightness(l));
    });
}

/// How many telling pairs stay nearer than the limit in a map.
std::size_t merged_pairs(const DeckPalette& palette, const TwinLimits& limits,
                         const color::GrayTable& map) {
    std::size_t count = 0;
    for (const TwinPair& twin : gray_twins(palette, limits, [&map](color::Rgb8 color) {
             return color::lightness_of_gray(map(color));
         })) {
        count += 1 + twin.also.size();
    }
    return count;
}

/// The map over some nodes that moves colors of the deck as little as its limits ask for.
color::GrayTable map_over(const std::vector<MapNode>& nodes, const DeckPalette& palette,
                          const TwinLimits& limits, std::span<const GrayPin> pins, bool carried) {
    std::vector<bool> around(nodes.size(), false);
    for (const ColorCluster& cluster : palette.clusters) mark_around(cluster.color, around);
    for (const GrayPin& pin : pins) mark_around(pin.color, around);
    const auto lightness_in = [](const color::GrayTable& table) {
        return [&table](color::Rgb8 color) { return color::lightness_of_gray(table(color)); };
    };
    // Where colors stand before any of them is moved: what the table holds, not the field, counts.
    const color::GrayTable before = table_of(nodes, {}, &around);
    std::vector<Anchor> anchors = anchors_of(palette, limits, pins, lightness_in(before), carried);
    set_radii(anchors);
    std::vector<double> wanted;
    for (const Anchor& anchor : anchors) {
        wanted.push_back(anchor.target - lightness_in(before)(anchor.color));
    }
    solve(anchors, wanted);
    // Between nodes the table is straight where the kernels are round: aim again by what is off.
    for (int round = 0; round < corrections && !anchors.empty(); ++round) {
        const color::GrayTable table = table_of(nodes, anchors, &around);
        double worst = 0.0;
        for (std::size_t i = 0; i < anchors.size(); ++i) {
            const double off = anchors[i].target - lightness_in(table)(anchors[i].color);
            wanted[i] += off;
            worst = std::max(worst, std::abs(off));
        }
        if (worst < 0.2) break;
        solve(anchors, wanted);
    }
    return table_of(nodes, anchors);
}

}  // namespace

void check_pins(std::span<const GrayPin> pins) {
    for (std::size_t i = 0; i < pins.size(); ++i) {
        const Lab lab = color::lab(pins[i].color);
        if (chroma(lab) < neutral_chroma) {
            throw Error(
                ErrorKind::range, "pins",
                hex(pins[i].color) + " is a gray, and grays stay as they are; expected a color");
        }
        for (std::size_t j = 0; j < i; ++j) {
            if (color::delta_e76(lab, color::lab(pins[j].color)) < same_color &&
                pins[i].gray != pins[j].gray) {
                throw Error(ErrorKind::range, "pins",
                            hex(pins[j].color) + " and " + hex(pins[i].color) +
                                " are nearly one color; expected one gray for both");
            }
        }
    }
}

ToneField art_tones(std::span<const survey::FaceSurvey> surveys) {
    return ToneField(neighbors_of(surveys));
}

color::GrayTable gray_map(const DeckPalette& palette, const GrayBase& base,
                          const TwinLimits& limits, std::span<const GrayPin> pins) {
    const auto* earlier = std::get_if<color::GrayTable>(&base);
    if (earlier == nullptr) {
        return map_over(map_nodes(std::get<ToneField>(base)), palette, limits, pins, false);
    }
    check_pins(pins);
    const std::size_t merged = merged_pairs(palette, limits, *earlier);
    if (merged == 0) return *earlier;
    color::GrayTable map = map_over(map_nodes(*earlier), palette, limits, pins, true);
    return merged_pairs(palette, limits, map) < merged ? map : *earlier;
}

}  // namespace paleproof::plan
