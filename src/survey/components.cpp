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

/// The runs of all rows, and which of them are one component: `first` of each is the first run of
/// its component.
struct JoinedRuns {
    std::vector<Run> runs;
    std::vector<std::size_t> row_begin;  // index of each row's first run, and one past the last
    std::vector<int> first;
};

JoinedRuns joined_runs(const std::vector<std::uint8_t>& label, std::size_t width) {
    const std::size_t height = label.size() / width;
    JoinedRuns result;
    std::vector<Run>& runs = result.runs;
    std::vector<int>& parent = result.first;
    result.row_begin.push_back(0);
    for (std::size_t y = 0; y < height; ++y) {
        const std::size_t begin = runs.size();
        put_runs(label.data() + y * width, static_cast<int>(width), runs);
        for (std::size_t i = begin; i < runs.size(); ++i) parent.push_back(static_cast<int>(i));
        std::size_t above = y == 0 ? begin : result.row_begin[y - 1];
        for (std::size_t i = begin; i < runs.size(); ++i) {
            while (above < begin && runs[above].end <= runs[i].begin) ++above;
            for (std::size_t k = above; k < begin && runs[k].begin < runs[i].end; ++k) {
                if (runs[k].label != runs[i].label) continue;
                const int a = root_of(parent, static_cast<int>(k));
                const int b = root_of(parent, static_cast<int>(i));
                parent[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
            }
        }
        result.row_begin.push_back(runs.size());
    }
    for (std::size_t i = 0; i < runs.size(); ++i) parent[i] = root_of(parent, static_cast<int>(i));
    return result;
}

}  // namespace

std::vector<int> components(const std::vector<std::uint8_t>& label, std::size_t width, int least,
                            int& count) {
    const JoinedRuns joined = joined_runs(label, width);
    const std::vector<Run>& runs = joined.runs;
    std::vector<int> pixels(runs.size(), 0);
    for (std::size_t i = 0; i < runs.size(); ++i)
        pixels[static_cast<std::size_t>(joined.first[i])] += runs[i].end - runs[i].begin;
    count = 0;
    for (int& n : pixels) n = n < least ? -1 : count++;
    std::vector<int> number(label.size(), -1);
    for (std::size_t y = 0; y + 1 < joined.row_begin.size(); ++y) {
        int* row = number.data() + y * width;
        for (std::size_t i = joined.row_begin[y]; i < joined.row_begin[y + 1]; ++i) {
            const int n = pixels[static_cast<std::size_t>(joined.first[i])];
            if (n >= 0) std::fill(row + runs[i].begin, row + runs[i].end, n);
        }
    }
    return number;
}

}  // namespace paleproof::survey
