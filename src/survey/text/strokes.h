// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "survey/text/strip.h"

namespace paleproof::survey {

/// One connected piece of ink, in strip pixels.
struct Piece {
    int x = 0, y = 0, width = 0, height = 0;
    int area = 0;
    int label = 0;      ///< in Strokes::labels
    bool full = false;  ///< as tall as a letter; else a dot, an accent or punctuation
    [[nodiscard]] int right() const { return x + width; }
    [[nodiscard]] int bottom() const { return y + height; }
};

/// The ink of one polarity in a strip, as far as it looks like a line of letters. Planes hold the
/// luminance with the ink as the dark side: 255 - luminance for light ink.
struct Strokes {
    bool light = false;            ///< the ink is lighter than what lies around it
    Plane8 tone;                   ///< the luminance, turned over for light ink
    Plane8 ground;                 ///< what the tone would be without strokes
    Plane<int> labels;             ///< pieces; 0 = no ink
    int ink = 0;                   ///< tone of the ink
    int depth = 0;                 ///< ground minus ink, typical
    double top = 0.0, base = 0.0;  ///< rows of x-height and base line at column `middle`
    double slope = 0.0;            ///< rows down for each column to the right
    double middle = 0.0;
    std::vector<Piece> pieces;  ///< that belong to the line, from the left
    double covered = 0.0;       ///< share of the band's length under pieces as tall as letters
    double pure = 0.0;          ///< share of the ink in the band that belongs to such pieces
    double leak = 0.0;    ///< share of the outline where the same tone goes on: gaps, not letters
    double apart = 1.0;   ///< tone all around the run: 1 = that of the ground, 0 = that of the ink
    double inside = 0.0;  ///< share of the outline that lies in the ink of the other polarity
    int typical = 0;      ///< tone of the ground under the pieces
    bool plain = false;   ///< one ink on one even ground
    double fit = 0.0;     ///< 0..1, all in all

    /// Ink coverage 0..1 of a pixel: 1 at the tone of the ink, 0 at the ground.
    [[nodiscard]] double coverage(int u, int v) const;
};

/// First column and row of some pieces, and one past the last.
struct Ends {
    int x0 = 0, y0 = 0, x1 = 0, y1 = 0;
};
[[nodiscard]] Ends ends_of(const Strokes& strokes, std::span<const Piece> pieces);

/// The strokes of a strip, of the polarity that looks more like letters; nothing when neither does.
[[nodiscard]] std::optional<Strokes> strokes_of(const Strip& strip);

/// Those of dark ink.
[[nodiscard]] std::optional<Strokes> dark_strokes_of(const Strip& strip);

}  // namespace paleproof::survey
