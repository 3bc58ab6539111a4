// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/map_nodes.h"

#include <cmath>
#include <cstddef>
#include <cstdint>

namespace paleproof::plan {
namespace {

constexpr double steepest_step = 5.0;  // L* of shift between two nodes of the table
constexpr int n = color::GrayTable::nodes;

constexpr std::size_t index(int r, int g, int b) {
    return static_cast<std::size_t>((r * n + g) * n + b);
}

/// Calls `of(r, g, b)` for each node in the order of the table.
template <class Call>
void for_each_node(const Call& of) {
    for (int r = 0; r < n; ++r) {
        for (int g = 0; g < n; ++g) {
            for (int b = 0; b < n; ++b) of(r, g, b);
        }
    }
}

void hold_steps(std::vector<double>& shift) {
    const auto hold = [&](std::size_t i, std::size_t j, bool i_neutral, bool j_neutral) {
        const double over = std::abs(shift[i] - shift[j]) - steepest_step;
        if (over <= 0.0) return;
        const double sign = shift[i] > shift[j] ? 1.0 : -1.0;
        const double of_i = i_neutral ? 0.0 : j_neutral ? 1.0 : 0.5;
        shift[i] -= sign * over * of_i;
        shift[j] += sign * over * (1.0 - of_i);
    };
    for (int sweep = 0; sweep < 4; ++sweep) {
        for_each_node([&](int r, int g, int b) {
            const bool neutral = r == g && g == b;
            const std::size_t i = index(r, g, b);
            if (r + 1 < n) hold(i, index(r + 1, g, b), neutral, r + 1 == g && g == b);
            if (g + 1 < n) hold(i, index(r, g + 1, b), neutral, r == g + 1 && r == b);
            if (b + 1 < n) hold(i, index(r, g, b + 1), neutral, r == g && g == b + 1);
        });
    }
}

/// The nodes with gray by lightness.
std::vector<MapNode> plain_nodes() {
    std::vector<MapNode> nodes;
    nodes.reserve(static_cast<std::size_t>(n) * n * n);
    const auto light = [](int i) {
        return color::linear_of(i * color::GrayTable::node_step / 255.0);
    };
    for_each_node([&](int r, int g, int b) {
        const color::Lab lab = color::lab_of_linear(light(r), light(g), light(b));
        nodes.push_back({lab, lab.l});
    });
    return nodes;
}

}  // namespace

std::vector<MapNode> map_nodes(const ToneField& field) {
    std::vector<MapNode> nodes = plain_nodes();
    std::vector<double> shift;
    shift.reserve(nodes.size());
    for (const MapNode& node : nodes) shift.push_back(field.shift(node.lab));
    hold_steps(shift);
    for (std::size_t i = 0; i < nodes.size(); ++i) nodes[i].lightness += shift[i];
    return nodes;
}

std::vector<MapNode> map_nodes(const color::GrayTable& table) {
    std::vector<MapNode> nodes = plain_nodes();
    for_each_node([&](int r, int g, int b) {
        const double light = color::linear_of(table.node(r, g, b) / 255.0);
        nodes[index(r, g, b)].lightness = color::lightness(light);
    });
    return nodes;
}

void mark_around(color::Rgb8 color, std::vector<bool>& wanted) {
    const auto first = [](std::uint8_t code) { return code / color::GrayTable::node_step; };
    const std::size_t at = index(first(color.r), first(color.g), first(color.b));
    for (const std::size_t corner :
         {index(0, 0, 0), index(0, 0, 1), index(0, 1, 0), index(0, 1, 1)}) {
        wanted[at + corner] = true;
        wanted[at + corner + index(1, 0, 0)] = true;
    }
}

}  // namespace paleproof::plan
