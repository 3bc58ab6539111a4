// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "core/geometry.h"

namespace paleproof {

/// The 8-connected patches of nonzero bytes on a grid, as runs: what takes little of the picture
/// takes little time.
struct Patches {
    struct Run {
        int y = 0, begin = 0, end = 0;  ///< columns begin..end-1
        int patch = 0;
    };
    struct Patch {
        int left = 0, top = 0, right = 0, bottom = 0;  ///< right and bottom one past the last
        int area = 0;
        [[nodiscard]] int width() const { return right - left; }
        [[nodiscard]] int height() const { return bottom - top; }
        [[nodiscard]] RectPx box() const { return {left, top, width(), height()}; }
    };
    std::vector<Run> runs;       ///< by row, from the left
    std::vector<Patch> patches;  ///< numbered in the order of their first run
};

[[nodiscard]] Patches patches_of(const std::uint8_t* mask, int width, int height);

/// Sets those patches to 0 on a grid `width` wide of which `goes(number)` is true; each is asked
/// once.
template <class Value, class Goes>
void clear_patches(const Patches& patches, Value* grid, int width, const Goes& goes) {
    std::vector<std::uint8_t> gone(patches.patches.size());
    for (std::size_t i = 0; i < gone.size(); ++i) gone[i] = goes(i) ? 1 : 0;
    for (const Patches::Run& run : patches.runs) {
        if (gone[static_cast<std::size_t>(run.patch)] == 0) continue;
        Value* row = grid + static_cast<std::size_t>(run.y) * static_cast<std::size_t>(width);
        std::fill(row + run.begin, row + run.end, Value{0});
    }
}

/// Sets the patches that reach the edge of the grid to 0: what goes on past its field is another
/// thing.
void remove_going_on(std::uint8_t* mask, int width, int height);

/// Sets to 255 what is 0 and no 4-connected way of zeros leads from to the edge of the grid.
void fill_holes(std::uint8_t* mask, int width, int height);

/// The same patches with the label of each pixel: 0 where the mask is 0, from 1 in the patches.
class LabelledPatches {
  public:
    LabelledPatches(const std::uint8_t* mask, int width, int height);

    /// One past the largest label.
    [[nodiscard]] int count() const { return static_cast<int>(patches_.size()) + 1; }
    [[nodiscard]] const Patches::Patch& patch(int label) const {
        return patches_[static_cast<std::size_t>(label - 1)];
    }
    [[nodiscard]] int width() const { return width_; }
    [[nodiscard]] int height() const { return height_; }
    [[nodiscard]] const int* row(int y) const {
        return labels_.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(width_);
    }
    [[nodiscard]] int at(int x, int y) const { return row(y)[x]; }

  private:
    int width_, height_;
    std::vector<int> labels_;
    std::vector<Patches::Patch> patches_;
};

}  // namespace paleproof
