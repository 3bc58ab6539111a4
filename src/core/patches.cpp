// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/patches.h"

#include <algorithm>
#include <cstddef>
#include <cstring>
#include <utility>
#include <vector>

namespace paleproof {
namespace {

/// First nonzero byte in row[x..width), eight at a time.
int next_set(const std::uint8_t* row, int x, int width) {
    for (; x + 8 <= width; x += 8) {
        std::uint64_t eight = 0;
        std::memcpy(&eight, row + x, 8);
        if (eight != 0) break;
    }
    while (x < width && row[x] == 0) ++x;
    return x;
}

int root(std::vector<int>& parent, int i) {
    while (parent[static_cast<std::size_t>(i)] != i) {
        auto& up = parent[static_cast<std::size_t>(i)];
        up = parent[static_cast<std::size_t>(up)];
        i = up;
    }
    return i;
}

}  // namespace

Patches patches_of(const std::uint8_t* mask, int width, int height) {
    Patches result;
    std::vector<int> parent;
    std::size_t above = 0;      // first run of the row above
    std::size_t above_end = 0;  // one past its last
    for (int y = 0; y < height; ++y) {
        const std::uint8_t* row =
            mask + static_cast<std::size_t>(y) * static_cast<std::size_t>(width);
        const std::size_t first = result.runs.size();
        std::size_t meets = above;
        for (int x = next_set(row, 0, width); x < width; x = next_set(row, x, width)) {
            const int begin = x;
            while (x < width && row[x] != 0) ++x;
            int label = -1;
            while (meets < above_end && result.runs[meets].end < begin) ++meets;
            for (std::size_t m = meets; m < above_end && result.runs[m].begin <= x; ++m) {
                const int other = root(parent, result.runs[m].patch);
                if (label < 0) {
                    label = other;
                } else if (label != other) {
                    parent[static_cast<std::size_t>(std::max(label, other))] =
                        std::min(label, other);
                    label = std::min(label, other);
                }
            }
            if (label < 0) {
                label = static_cast<int>(parent.size());
                parent.push_back(label);
            }
            result.runs.push_back({y, begin, x, label});
        }
        above = first;
        above_end = result.runs.size();
    }
    std::vector<int> number(parent.size(), -1);
    for (Patches::Run& run : result.runs) {
        int& n = number[static_cast<std::size_t>(root(parent, run.patch))];
        if (n < 0) {
            n = static_cast<int>(result.patches.size());
            result.patches.push_back({run.begin, run.y, run.end, run.y + 1, 0});
        }
        run.patch = n;
        Patches::Patch& patch = result.patches[static_cast<std::size_t>(n)];
        patch.left = std::min(patch.left, run.begin);
        patch.right = std::max(patch.right, run.end);
        patch.bottom = run.y + 1;
        patch.area += run.end - run.begin;
    }
    return result;
}

void fill_holes(std::uint8_t* mask, int width, int height) {
    const auto w = static_cast<std::size_t>(width);
    std::vector<std::uint8_t> outside(w * static_cast<std::size_t>(height), 0);
    std::vector<std::pair<int, int>> next;
    const auto visit = [&](int x, int y) {
        if (x < 0 || y < 0 || x >= width || y >= height) return;
        const std::size_t i = static_cast<std::size_t>(y) * w + static_cast<std::size_t>(x);
        if (mask[i] != 0 || outside[i] != 0) return;
        outside[i] = 1;
        next.emplace_back(x, y);
    };
    for (int x = 0; x < width; ++x) {
        visit(x, 0);
        visit(x, height - 1);
    }
    for (int y = 0; y < height; ++y) {
        visit(0, y);
        visit(width - 1, y);
    }
    while (!next.empty()) {
        const auto [x, y] = next.back();
        next.pop_back();
        visit(x - 1, y);
        visit(x + 1, y);
        visit(x, y - 1);
        visit(x, y + 1);
    }
    for (std::size_t i = 0; i < outside.size(); ++i)
        if (outside[i] == 0) mask[i] = 255;
}

void remove_going_on(std::uint8_t* mask, int width, int height) {
    const Patches found = patches_of(mask, width, height);
    clear_patches(found, mask, width, [&](std::size_t i) {
        const Patches::Patch& patch = found.patches[i];
        return patch.left == 0 || patch.top == 0 || patch.right == width || patch.bottom == height;
    });
}

LabelledPatches::LabelledPatches(const std::uint8_t* mask, int width, int height)
    : width_(width), height_(height) {
    Patches found = patches_of(mask, width, height);
    labels_.resize(static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
    for (const Patches::Run& run : found.runs) {
        int* row =
            labels_.data() + static_cast<std::size_t>(run.y) * static_cast<std::size_t>(width);
        std::fill(row + run.begin, row + run.end, run.patch + 1);
    }
    patches_ = std::move(found.patches);
}

}  // namespace paleproof
