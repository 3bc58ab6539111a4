// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::test {

/// One line to draw: the base line starts at (x, y) in pixels; px is the em.
struct Setting {
    std::string font = "dejavu/DejaVuSans.ttf";  ///< below /usr/share/fonts/truetype
    std::string text;                            ///< UTF-8, up to three bytes a glyph
    double px = 40.0;
    double x = 0.0, y = 0.0;
    RgbCode ink{0, 0, 0};
    int outline_px = 0;  ///< drawn around the letters first
    RgbCode rim{0, 0, 0};
};

/// What the font's outlines say: heights of x and H, and the advance of the text, in pixels.
struct FontFacts {
    double x_height = 0.0, cap_height = 0.0, length = 0.0;
};

/// Draws by FreeType without hinting, mixing sRGB codes as drawing programs do.
FontFacts draw(Image& image, const Setting& setting);

/// A face of one color.
[[nodiscard]] Image plain(int width, int height, RgbCode color, double ppi = 300.0);

/// Turned counterclockwise by quarter turns.
[[nodiscard]] Image turned(const Image& image, int quarter_turns);

}  // namespace paleproof::test
