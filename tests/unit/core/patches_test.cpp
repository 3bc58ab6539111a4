// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/patches.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "support/pictures.h"

using namespace paleproof;

namespace {

std::vector<std::uint8_t> mask_of(const std::vector<std::string>& rows) {
    std::vector<std::uint8_t> mask;
    for (const std::string& row : rows) {
        for (const char c : row) mask.push_back(c == '#' ? 1 : 0);
    }
    return mask;
}

/// The slow way: labels spread to their neighbors until nothing changes.
std::vector<int> spread_labels(const std::vector<std::uint8_t>& mask, int width, int height) {
    std::vector<int> label(mask.size(), -1);
    for (std::size_t i = 0; i < mask.size(); ++i) {
        if (mask[i] != 0) label[i] = static_cast<int>(i);
    }
    for (bool changed = true; changed;) {
        changed = false;
        for (int y = 0; y < height; ++y) {
            for (int x = 0; x < width; ++x) {
                int& own = label[static_cast<std::size_t>(y * width + x)];
                if (own < 0) continue;
                for (int ny = std::max(0, y - 1); ny <= std::min(height - 1, y + 1); ++ny) {
                    for (int nx = std::max(0, x - 1); nx <= std::min(width - 1, x + 1); ++nx) {
                        const int other = label[static_cast<std::size_t>(ny * width + nx)];
                        if (other >= 0 && other < own) {
                            own = other;
                            changed = true;
                        }
                    }
                }
            }
        }
    }
    return label;
}

}  // namespace

TEST_CASE("patches touch by sides or by corners") {
    const auto mask = mask_of({"#..##", ".#..#", ".....", "##..#"});
    const Patches found = patches_of(mask.data(), 5, 4);
    REQUIRE(found.patches.size() == 4);
    CHECK(found.patches[0].area == 2);
    CHECK(found.patches[0].right == 2);
    CHECK(found.patches[1].area == 3);
    CHECK(found.patches[2].area == 2);
    CHECK(found.patches[3].left == 4);
}

TEST_CASE("patches are those of the slow way on noise of every density") {
    for (const int width : {1, 7, 8, 9, 33}) {
        for (const int one_in : {2, 3, 6}) {
            CAPTURE(width);
            CAPTURE(one_in);
            const int height = 25;
            test::Dice dice(static_cast<std::uint32_t>(100 * width + one_in));
            std::vector<std::uint8_t> mask(static_cast<std::size_t>(width * height));
            for (auto& m : mask) m = dice.between(1, one_in) == 1 ? 255 : 0;
            const auto slow = spread_labels(mask, width, height);
            const Patches fast = patches_of(mask.data(), width, height);
            std::vector<int> slow_of(fast.patches.size(), -1);
            int pixels = 0;
            for (const auto& run : fast.runs) {
                for (int x = run.begin; x < run.end; ++x) {
                    const int label = slow[static_cast<std::size_t>(run.y * width + x)];
                    int& known = slow_of[static_cast<std::size_t>(run.patch)];
                    if (known < 0) known = label;
                    CHECK(known == label);
                    ++pixels;
                }
            }
            CHECK(pixels == std::ranges::count_if(mask, [](auto m) { return m != 0; }));
            std::ranges::sort(slow_of);
            CHECK(std::ranges::adjacent_find(slow_of) == slow_of.end());
        }
    }
}

TEST_CASE("labels are 0 outside of the patches and from 1 inside") {
    const auto mask = mask_of({"#..##", ".#..#", ".....", "##..#"});
    const LabelledPatches found(mask.data(), 5, 4);
    REQUIRE(found.count() == 5);
    const std::vector<std::vector<int>> expected = {
        {1, 0, 0, 2, 2}, {0, 1, 0, 0, 2}, {0, 0, 0, 0, 0}, {3, 3, 0, 0, 4}};
    for (int y = 0; y < 4; ++y) {
        for (int x = 0; x < 5; ++x) {
            CHECK(found.at(x, y) ==
                  expected[static_cast<std::size_t>(y)][static_cast<std::size_t>(x)]);
        }
    }
    CHECK(found.patch(2).box() == RectPx{3, 0, 2, 2});
    CHECK(found.patch(2).area == 3);
}

TEST_CASE("patches that reach the edge go, those within stay") {
    auto mask = mask_of({"##......",  //
                         "..#..##.",  // hangs together with the corner
                         ".....#..",  //
                         "...#...#",  //
                         "#......."});
    remove_going_on(mask.data(), 8, 5);
    CHECK(mask == mask_of({"........",  //
                           ".....##.",  //
                           ".....#..",  //
                           "...#....",  //
                           "........"}));
}

TEST_CASE("holes are what no way along rows and columns leads to from the edge") {
    auto mask = mask_of({".####...",  //
                         ".#..#.#.",  //
                         ".#..##.#",  //
                         ".####.#.",  //
                         "........"});
    fill_holes(mask.data(), 8, 5);
    CHECK(mask[10] == 255);
    for (std::uint8_t& value : mask) value = value != 0 ? 1 : 0;
    // The ring is filled; a gap that a diagonal leads out of is a hole as well.
    CHECK(mask == mask_of({".####...",  //
                           ".####.#.",  //
                           ".#######",  //
                           ".####.#.",  //
                           "........"}));
}
