// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/tone_field.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>

#include "color/difference.h"

namespace paleproof::plan {
namespace {

constexpr std::array<double, 9> levels{0.0, 12.0, 24.0, 36.0, 48.0, 60.0, 72.0, 86.0, 100.0};
// Closer where most colors of art are.
constexpr std::array<double, 15> chromas{-110.0, -75.0, -50.0, -34.0, -22.0, -13.0, -6.0, 0.0,
                                         6.0,    13.0,  22.0,  34.0,  50.0,  75.0,  110.0};
constexpr std::size_t width = chromas.size();
constexpr std::size_t count = levels.size() * width * width;
constexpr std::size_t neutral = width / 2;
constexpr int thresholds = 15;
constexpr int rounds = 120;

constexpr std::size_t at(std::size_t l, std::size_t a, std::size_t b) {
    return (l * width + a) * width + b;
}

/// A place on the grid: the nodes around it, from the first one on, and their weights.
struct Spot {
    std::uint32_t first = 0;
    std::array<float, 8> weight{};
};
constexpr std::array<std::uint32_t, 8> corner{0,
                                              1,
                                              width,
                                              width + 1,
                                              width* width,
                                              width* width + 1,
                                              width* width + width,
                                              width* width + width + 1};

template <std::size_t N>
std::pair<std::size_t, double> cell(const std::array<double, N>& nodes, double value) {
    const double v = std::clamp(value, nodes.front(), nodes.back());
    std::size_t i = 0;
    while (i + 2 < N && v >= nodes[i + 1]) ++i;
    return {i, (v - nodes[i]) / (nodes[i + 1] - nodes[i])};
}

Spot spot(const color::Lab& lab) {
    const auto [l, dl] = cell(levels, lab.l);
    const auto [a, da] = cell(chromas, lab.a);
    const auto [b, db] = cell(chromas, lab.b);
    Spot result{static_cast<std::uint32_t>(at(l, a, b)), {}};
    for (std::size_t i = 0; i < 8; ++i) {
        result.weight[i] =
            static_cast<float>(((i & 4U) != 0 ? dl : 1.0 - dl) * ((i & 2U) != 0 ? da : 1.0 - da) *
                               ((i & 1U) != 0 ? db : 1.0 - db));
    }
    return result;
}

double shift_at(const std::vector<double>& values, const Spot& s) {
    double sum = 0.0;
    for (std::size_t i = 0; i < 8; ++i) sum += s.weight[i] * values[s.first + corner[i]];
    return sum;
}

struct Contrast {
    Spot a, b;
    float lightness = 0.0F;  ///< L* of a - L* of b
    int most = 0;            ///< the highest threshold that its CIELAB distance reaches
};

// The fit looks at all pairs in each of its rounds while the rest of the run waits for it: single
// precision, and sums in an order that four lanes can take.

using Corners = std::array<float, 8>;

/// What lies at the corners of a spot; two of them are neighbors in memory.
Corners around(const std::vector<float>& values, const Spot& s) {
    Corners result;
    const float* first = values.data() + s.first;
    for (std::size_t i = 0; i < 8; i += 2) {
        std::copy_n(first + corner[i], 2, result.data() + i);
    }
    return result;
}

float quick_shift(const std::vector<float>& values, const Spot& s) {
    Corners part = around(values, s);
    for (std::size_t i = 0; i < 8; ++i) part[i] *= s.weight[i];
    for (std::size_t i = 0; i < 4; ++i) part[i] += part[i + 4];
    return (part[0] + part[2]) + (part[1] + part[3]);
}

void add_around(std::vector<float>& values, const Spot& s, float amount) {
    Corners there = around(values, s);
    for (std::size_t i = 0; i < 8; ++i) there[i] += amount * s.weight[i];
    float* first = values.data() + s.first;
    for (std::size_t i = 0; i < 8; i += 2) {
        std::copy_n(there.data() + i, 2, first + corner[i]);
    }
}

/// One step along the axis with stride `stride`: neighbors may differ by so much.
void hold_slope(std::vector<double>& values, std::size_t i, std::size_t j, double most) {
    const double over = std::abs(values[i] - values[j]) - most;
    if (over <= 0.0) return;
    const double half = values[i] > values[j] ? over / 2.0 : -over / 2.0;
    values[i] -= half;
    values[j] += half;
}

/// How far each node may be moved.
const std::vector<double>& most_of_nodes() {
    static const std::vector<double> most = [] {
        std::vector<double> result(count);
        for (std::size_t l = 0; l < levels.size(); ++l) {
            // What is nearly black or white has no room to move; the ends stay as they are.
            const double room = std::min(levels[l], 100.0 - levels[l]);
            for (std::size_t a = 0; a < width; ++a) {
                for (std::size_t b = 0; b < width; ++b) {
                    const double chroma = std::hypot(chromas[a], chromas[b]);
                    result[at(l, a, b)] =
                        std::min({ToneField::most_shift, ToneField::steepest_hue * chroma, room});
                }
            }
        }
        return result;
    }();
    return most;
}

void hold_limits(std::vector<double>& values) {
    const std::vector<double>& most = most_of_nodes();
    for (int sweep = 0; sweep < 3; ++sweep) {
        for (std::size_t l = 0; l < levels.size(); ++l) {
            for (std::size_t a = 0; a < width; ++a) {
                for (std::size_t b = 0; b < width; ++b) {
                    const std::size_t i = at(l, a, b);
                    values[i] = std::clamp(values[i], -most[i], most[i]);
                    if (l + 1 < levels.size())
                        hold_slope(values, i, at(l + 1, a, b),
                                   ToneField::steepest * (levels[l + 1] - levels[l]));
                    if (a + 1 < width)
                        hold_slope(values, i, at(l, a + 1, b),
                                   ToneField::steepest_hue * (chromas[a + 1] - chromas[a]));
                    if (b + 1 < width)
                        hold_slope(values, i, at(l, a, b + 1),
                                   ToneField::steepest_hue * (chromas[b + 1] - chromas[b]));
                }
            }
        }
    }
    for (std::size_t l = 0; l < levels.size(); ++l) values[at(l, neutral, neutral)] = 0.0;
}

/// The mean of a value and its neighbors on the grid: what no color asked for follows the rest.
std::vector<double> smoothed(const std::vector<double>& values, double share) {
    std::vector<double> result = values;
    for (std::size_t l = 0; l < levels.size(); ++l) {
        for (std::size_t a = 0; a < width; ++a) {
            for (std::size_t b = 0; b < width; ++b) {
                double sum = 0.0;
                int n = 0;
                const auto add = [&](bool inside, std::size_t i) {
                    if (!inside) return;
                    sum += values[i];
                    ++n;
                };
                add(l > 0, at(l - 1, a, b));
                add(l + 1 < levels.size(), at(l + 1, a, b));
                add(a > 0, at(l, a - 1, b));
                add(a + 1 < width, at(l, a + 1, b));
                add(b > 0, at(l, a, b - 1));
                add(b + 1 < width, at(l, a, b + 1));
                const std::size_t i = at(l, a, b);
                result[i] = (1.0 - share) * values[i] + share * sum / n;
            }
        }
    }
    return result;
}

/// Neighbors as the search sees them, with what each counts in the score.
struct Contrasts {
    std::vector<Contrast> pairs;
    /// By threshold: what a pair that reaches it counts, and how it pulls at one that does not yet.
    std::array<double, thresholds + 1> scores{};
    std::array<float, thresholds + 1> pulls{};
};

/// CCPR is a mean over thresholds of shares of the pairs that reach them: how much a pair counts
/// for a threshold depends on how many there are.
Contrasts contrasts_of(std::span<const survey::Neighbors> neighbors) {
    Contrasts result;
    const std::size_t used = std::min(neighbors.size(), ToneField::most_pairs);
    std::array<double, thresholds + 1> reaching{};
    for (std::size_t k = 0; k < used; ++k) {
        const survey::Neighbors& n = neighbors[k * neighbors.size() / used];
        const color::Lab a = color::lab(n.a), b = color::lab(n.b);
        const double distance = color::delta_e76(a, b);
        if (distance < 1.0) continue;
        const int most = std::min(thresholds, static_cast<int>(distance));
        for (int t = 1; t <= most; ++t) reaching[static_cast<std::size_t>(t)] += 1.0;
        result.pairs.push_back({spot(a), spot(b), static_cast<float>(a.l - b.l), most});
    }
    for (std::size_t t = 1; t < reaching.size() && reaching[t] > 0.0; ++t) {
        result.scores[t] = result.scores[t - 1] + 1.0 / reaching[t];
        result.pulls[t] =
            static_cast<float>(static_cast<double>(result.pairs.size()) / reaching[t]);
    }
    return result;
}

}  // namespace

ToneField::ToneField() : values_(count, 0.0) {}

double ToneField::shift(const color::Lab& lab) const { return shift_at(values_, spot(lab)); }

ToneField::ToneField(std::span<const survey::Neighbors> neighbors) : ToneField() {
    const Contrasts contrasts = contrasts_of(neighbors);
    const std::vector<Contrast>& pairs = contrasts.pairs;
    if (pairs.empty()) return;
    std::vector<float> quick(count), gradient(count), weight(count, 1.0F);
    std::vector<double> speed(count, 0.0);
    for (const Contrast& pair : pairs) {
        add_around(weight, pair.a, 1.0F);
        add_around(weight, pair.b, 1.0F);
    }
    std::vector<double> best = values_;
    double best_score = -1.0;
    for (int round = 0; round < rounds; ++round) {
        std::ranges::fill(gradient, 0.0F);
        std::ranges::transform(values_, quick.begin(),
                               [](double value) { return static_cast<float>(value); });
        double score = 0.0;
        for (const Contrast& pair : pairs) {
            const float gray =
                pair.lightness + quick_shift(quick, pair.a) - quick_shift(quick, pair.b);
            const float size = std::abs(gray);
            const auto most = static_cast<std::size_t>(pair.most);
            const std::size_t reached = std::min(static_cast<std::size_t>(size), most);
            score += contrasts.scores[reached];
            // The next threshold in reach pulls, the more the nearer it is.
            if (reached == most) continue;
            const float missing = static_cast<float>(reached + 1) - size;
            const float pull = contrasts.pulls[reached + 1] / (0.5F + missing);
            const float amount = gray >= 0.0F ? pull : -pull;
            add_around(gradient, pair.a, amount);
            add_around(gradient, pair.b, -amount);
        }
        if (score > best_score) {
            best_score = score;
            best = values_;
        }
        const double step = 2.5 * (1.0 - 0.8 * round / rounds);
        for (std::size_t i = 0; i < count; ++i) {
            speed[i] = 0.7 * speed[i] + static_cast<double>(gradient[i] / (weight[i] + 4.0F));
            values_[i] += step * std::clamp(speed[i], -1.5, 1.5);
        }
        values_ = smoothed(values_, 0.04);
        hold_limits(values_);
    }
    values_ = best;
}

}  // namespace paleproof::plan
