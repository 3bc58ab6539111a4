// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/tone_layout.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace paleproof::plan {
namespace {

constexpr int rounds = 300;
constexpr double unmet = 20.0;  // a missing L* of a gap against one of moving, squared
constexpr int most_passes = 6;

/// Positions by projection onto one constraint after the other, with a pull to the starts that
/// fades; for a fixed order by `rank`.
std::vector<double> relaxed(std::span<const ToneWish> wishes, std::span<const ToneGap> gaps,
                            const std::vector<std::size_t>& rank) {
    std::vector<double> at;
    for (const ToneWish& wish : wishes)
        at.push_back(std::clamp(wish.start, wish.lowest, wish.highest));
    for (int round = 0; round < rounds; ++round) {
        const double pull = 0.2 * (1.0 - static_cast<double>(round) / (0.8 * rounds));
        if (pull > 0.0) {
            for (std::size_t i = 0; i < at.size(); ++i) at[i] += pull * (wishes[i].start - at[i]);
        }
        for (const ToneGap& gap : gaps) {
            const bool a_lighter = gap.ordered || rank[gap.a] > rank[gap.b];
            const std::size_t light = a_lighter ? gap.a : gap.b;
            const std::size_t dark = a_lighter ? gap.b : gap.a;
            const double missing = gap.gap - (at[light] - at[dark]);
            if (missing <= 0.0) continue;
            // What one of the two cannot move, the other does.
            const double up = std::max(0.0, wishes[light].highest - at[light]);
            const double down = std::max(0.0, at[dark] - wishes[dark].lowest);
            double half = std::min(missing / 2.0, up);
            const double rest = std::min(missing - half, down);
            half = std::min(missing - rest, up);
            at[light] += half;
            at[dark] -= rest;
        }
        for (std::size_t i = 0; i < at.size(); ++i)
            at[i] = std::clamp(at[i], wishes[i].lowest, wishes[i].highest);
    }
    return at;
}

double cost(std::span<const ToneWish> wishes, std::span<const ToneGap> gaps,
            const std::vector<std::size_t>& rank, const std::vector<double>& at) {
    double sum = 0.0;
    for (std::size_t i = 0; i < at.size(); ++i) {
        sum += (at[i] - wishes[i].start) * (at[i] - wishes[i].start);
    }
    for (const ToneGap& gap : gaps) {
        const bool a_lighter = gap.ordered || rank[gap.a] > rank[gap.b];
        const double difference = a_lighter ? at[gap.a] - at[gap.b] : at[gap.b] - at[gap.a];
        const double missing = std::max(0.0, gap.gap - difference - 0.01);
        sum += unmet * missing * missing;
    }
    return sum;
}

double missing_of(const ToneGap& gap, double a, double b) {
    return gap.gap - (gap.ordered ? a - b : std::abs(a - b));
}

}  // namespace

std::vector<double> tone_layout(std::span<const ToneWish> wishes, std::span<const ToneGap> gaps) {
    std::vector<std::size_t> order(wishes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(
        order, [&](std::size_t x, std::size_t y) { return wishes[x].start < wishes[y].start; });
    const auto ranks = [&] {
        std::vector<std::size_t> rank(order.size());
        for (std::size_t i = 0; i < order.size(); ++i) rank[order[i]] = i;
        return rank;
    };
    const auto bound = [&](std::size_t x, std::size_t y) {
        return std::ranges::any_of(gaps, [&](const ToneGap& gap) {
            return (gap.a == x && gap.b == y) || (gap.a == y && gap.b == x);
        });
    };
    std::vector<double> best = relaxed(wishes, gaps, ranks());
    double least = cost(wishes, gaps, ranks(), best);
    for (int pass = 0; pass < most_passes; ++pass) {
        bool better = false;
        for (std::size_t i = 0; i + 1 < order.size(); ++i) {
            // Only what starts within reach can gain by changing places.
            if (wishes[order[i + 1]].start - wishes[order[i]].start > 15.0) continue;
            if (!bound(order[i], order[i + 1])) continue;
            std::swap(order[i], order[i + 1]);
            std::vector<double> tried = relaxed(wishes, gaps, ranks());
            const double c = cost(wishes, gaps, ranks(), tried);
            if (c < least - 1e-6) {
                least = c;
                best = std::move(tried);
                better = true;
            } else {
                std::swap(order[i], order[i + 1]);
            }
        }
        if (!better) break;
    }
    return best;
}

ToneMoves tone_moves(std::span<const ToneWish> wishes, std::span<const ToneGap> gaps) {
    constexpr double let_pass = 0.25;  // L*
    constexpr int most_rounds = 8;
    ToneMoves layout;
    layout.moved.resize(wishes.size(), false);
    for (const ToneWish& wish : wishes) layout.at.push_back(wish.start);
    for (int round = 0; round < most_rounds; ++round) {
        bool more = false;
        const auto move = [&](const ToneGap& gap) {
            for (const std::size_t i : {gap.a, gap.b}) {
                if (layout.moved[i] || wishes[i].lowest == wishes[i].highest) continue;
                layout.moved[i] = more = true;
            }
        };
        for (const ToneGap& gap : gaps) {
            const double missing = missing_of(gap, layout.at[gap.a], layout.at[gap.b]);
            if (round == 0) {
                if (missing > 0.01 && gap.gap - missing < gap.enough) move(gap);
            } else if (missing > let_pass) {
                // All that these two keep away from may stand in their way.
                for (const ToneGap& other : gaps) {
                    const bool beside = other.a == gap.a || other.a == gap.b || other.b == gap.a ||
                                        other.b == gap.b;
                    if (beside) move(other);
                }
            }
        }
        if (!more) break;
        std::vector<std::size_t> place(wishes.size(), wishes.size());
        std::vector<std::size_t> used;
        std::vector<ToneWish> some;
        std::vector<ToneGap> between;
        for (const ToneGap& gap : gaps) {
            if (!layout.moved[gap.a] && !layout.moved[gap.b]) continue;
            for (const std::size_t i : {gap.a, gap.b}) {
                if (place[i] < wishes.size()) continue;
                place[i] = used.size();
                used.push_back(i);
                const double start = wishes[i].start;
                some.push_back(layout.moved[i] ? wishes[i] : ToneWish{start, start, start});
            }
            between.push_back({place[gap.a], place[gap.b], gap.gap, gap.ordered, gap.enough});
        }
        const std::vector<double> laid = tone_layout(some, between);
        for (std::size_t k = 0; k < used.size(); ++k) layout.at[used[k]] = laid[k];
    }
    return layout;
}

}  // namespace paleproof::plan
