// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <filesystem>
#include <string>
#include <vector>

#include "core/image.h"

namespace paleproof::bench {

/// Where a glyph's ink begins and ends, as shares of its line's length.
struct TrueGlyph {
    double begin = 0.0, end = 0.0;
    bool letter = false;  ///< or a figure
};

struct TrueLine {
    std::string text, ground, effect, font;
    bool mark = false, capitals = false, reversed = false, flat = false;
    bool even = true;     ///< false for old-style figures, which have no one height
    bool hidden = false;  ///< something was painted over a part of it: found or not, both are right
    double points = 0, x_px = 0, cap_px = 0, angle = 0, contrast = 1;
    std::array<std::array<double, 2>, 4> band{};  ///< top left, top right, base right, base left
    std::array<std::array<double, 2>, 4> ink{};   ///< the same around all of its ink
    std::vector<TrueGlyph> glyphs;                ///< those that show, in the order of the text
};

struct TrueFace {
    std::string name, group, kind;
    Image image;
    std::vector<TrueLine> lines;
};

/// NAME.json with NAME.ppm beside it, as make_faces.py writes them. Error{file} when it cannot.
[[nodiscard]] TrueFace read_face(const std::filesystem::path& json);

}  // namespace paleproof::bench
