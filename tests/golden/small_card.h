// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::test {

/// Letters of 5 x 7 dots, enough for two words.
inline constexpr std::array<std::string_view, 7> night_dots{
    "#...#.###..###..#...#.#####", "##..#..#..#...#.#...#...#..", "#.#.#..#..#.....#...#...#..",
    "#..##..#..#.###.#####...#..", "#...#..#..#...#.#...#...#..", "#...#..#..#...#.#...#...#..",
    "#...#.###..###..#...#...#.."};

inline constexpr RectPx dark_line{24, 100, 81, 21};  ///< light word on the dark panel
inline constexpr RectPx art_line{24, 20, 81, 21};    ///< dark word on the sky

/// A face of 160 x 160 px at 300 ppi, drawn with whole numbers: a sky that runs from dark to light
/// blue with a moon and stars, a hill with a red flag, and a dark rounded panel, a word on both.
inline Image small_card() {
    Image card(160, 160, Encoding::srgb, Ppi{300});
    const auto set = [&](int x, int y, RgbCode c) {
        if (x < 0 || y < 0 || x >= 160 || y >= 160) return;
        std::copy(c.begin(), c.end(), card.row(y) + 3 * x);
    };
    for (int y = 0; y < 160; ++y) {
        for (int x = 0; x < 160; ++x) {
            const int ramp = y * 90 / 160;
            const int grain = (x * 73 + y * 151 + x * y * 7) % 5;
            RgbCode c{static_cast<std::uint8_t>(60 + ramp + grain),
                      static_cast<std::uint8_t>(84 + ramp + grain),
                      static_cast<std::uint8_t>(140 + ramp + grain)};
            const int moon = (x - 126) * (x - 126) + (y - 34) * (y - 34);
            if (moon < 18 * 18) c = {244, 236, 200};
            const int hill = (x - 70) * (x - 70) + 2 * (y - 130) * (y - 130);
            if (hill < 78 * 78) c = {48, 96, 52};
            if (x >= 118 && x < 146 && y >= 60 && y < 84) c = {200, 40, 48};  // a flag
            if (x >= 115 && x < 118 && y >= 58 && y < 92) c = {40, 30, 24};
            if (x >= 14 && x < 140 && y >= 92 && y < 140) {  // a panel with cut corners
                const int dx = std::min(x - 14, 139 - x);
                const int dy = std::min(y - 92, 139 - y);
                if (dx + dy >= 6) c = {34, 30, 52};
            }
            set(x, y, c);
        }
    }
    for (const auto& [box, color] :
         {std::pair{dark_line, RgbCode{240, 236, 224}}, std::pair{art_line, RgbCode{10, 10, 20}}}) {
        for (int y = 0; y < box.height; ++y) {
            for (int x = 0; x < box.width; ++x) {
                const std::size_t row = static_cast<std::size_t>(y / 3);
                if (night_dots[row][static_cast<std::size_t>(x / 3)] == '#') {
                    set(box.x + x, box.y + y, color);
                }
            }
        }
    }
    return card;
}

/// Its two lines of text, as the survey would measure them.
inline std::vector<TextLine> small_card_text() {
    TextLine dark;
    dark.box_px = dark_line;
    dark.confidence = 0.9;
    dark.x_height_px = 15.0;
    dark.stroke_px = 3.0;
    dark.text_color = {240, 236, 224};
    dark.ground_color = {34, 30, 52};
    dark.reversed = true;
    dark.contrast = 13.0;
    TextLine art = dark;
    art.box_px = art_line;
    art.text_color = {10, 10, 20};
    art.ground_color = {74, 98, 154};
    art.reversed = false;
    art.contrast = 3.0;
    return {art, dark};
}

}  // namespace paleproof::test
