// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/components.h"

#include <algorithm>

namespace paleproof::survey {
namespace {

int root_of(std::vector<int>& parent, int i) {
    while (parent[static_cast<std::size_t>(i)] != i) {
        const auto at = static_cast<std::size_t>(i);
        parent[at] = parent[static_cast<std::size_t>(parent[at])];
        i = parent[at];
    }
    return i;
}

/// Pixels of one label beside each other: [begin, end) of a row.
struct Run {
    int begin = 0, end = 0;
    std::uint8_t label = 0;
};

void put_runs(const std::uint8_t* label, int width, std::vector<Run>& runs) {
    for (int x = 0; x < width;) {
        const std::uint8_t here = label[x];
        const int begin = x;
        while (x < width && label[x] == here) ++x;
        if (here != 0) runs.push_back({begin, x, here});
    }
}

}  // namespace

std::vector<int> components(const std::vector<std::uint8_t>& label, std::size_t width, int least,
                            int& count) {
    const std::size_t height = label.size() / width;
    std::vector<Run> runs;
    std::vector<std::size_t> row_begin{0};
    std::vector<int> parent;
    for (std::size_t y = 0; y < height; ++y) {
        const std::size_t begin = runs.size();
        put_runs(label.data() + y * width, static_cast<int>(width), runs);
        for (std::size_t i = begin; i < runs.size(); ++i) parent.push_back(static_cast<int>(i));
        std::size_t above = y == 0 ? begin : row_begin[y - 1];
        for (std::size_t i = begin; i < runs.size(); ++i) {
            while (above < begin && runs[above].end <= runs[i].begin) ++above;
            for (std::size_t k = above; k < begin && runs[k].begin < runs[i].end; ++k) {
                if (runs[k].label != runs[i].label) continue;
                const int a = root_of(parent, static_cast<int>(k));
                const int b = root_of(parent, static_cast<int>(i));
                parent[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
            }
        }
        row_begin.push_back(runs.size());
    }
    std::vector<int> pixels(runs.size(), 0);
    for (std::size_t i = 0; i < runs.size(); ++i) {
        parent[i] = root_of(parent, static_cast<int>(i));
        pixels[static_cast<std::size_t>(parent[i])] += runs[i].end - runs[i].begin;
    }
    count = 0;
    for (int& n : pixels) n = n < least ? -1 : count++;
    std::vector<int> number(label.size(), -1);
    for (std::size_t y = 0; y < height; ++y) {
        int* row = number.data() + y * width;
        for (std::size_t i = row_begin[y]; i < row_begin[y + 1]; ++i) {
            const int n = pixels[static_cast<std::size_t>(parent[i])];
            if (n >= 0) std::fill(row + runs[i].begin, row + runs[i].end, n);
        }
    }
    return number;
}

}  // namespace paleproof::survey
