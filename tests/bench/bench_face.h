// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include "core/image.h"
#include "core/text_line.h"
#include "support/pictures.h"

namespace paleproof::bench {

/// A poker face at 300 ppi as the micro-benchmarks use it: grainy art in soft colors, four flat
/// emblems, and a dark panel with eight lines of light letters.
struct BenchFace {
    Image picture;
    std::vector<TextLine> text;
};

inline BenchFace bench_face() {
    constexpr int width = 750;
    constexpr int height = 1050;
    test::Dice dice(11);
    BenchFace face{Image(width, height, Encoding::srgb, Ppi{300}), {}};
    const auto paint = [&](RectPx box, RgbCode color) {
        for (int y = box.y; y < box.bottom(); ++y) {
            for (int x = box.x; x < box.right(); ++x) {
                std::copy(color.begin(), color.end(), face.picture.row(y) + 3 * x);
            }
        }
    };
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            for (int c = 0; c < 3; ++c) {
                const double wave = 90.0 + 60.0 * std::sin(x * 0.02 * (c + 1) + y * 0.013 + c);
                face.picture.row(y)[3 * x + c] =
                    static_cast<std::uint8_t>(std::clamp(wave + dice.between(-6, 6), 0.0, 255.0));
            }
        }
    }
    const RgbCode emblems[] = {{200, 40, 40}, {30, 110, 60}, {40, 60, 170}, {220, 180, 30}};
    for (int i = 0; i < 4; ++i) paint({60 + 170 * i, 60, 90, 90}, emblems[i]);
    const RgbCode ground{30, 28, 40};
    const RgbCode letter{240, 236, 220};
    paint({60, 640, 630, 350}, ground);
    for (int i = 0; i < 8; ++i) {
        TextLine line;
        line.box_px = {80, 660 + 40 * i, 590, 30};
        line.confidence = 0.95;
        line.x_height_px = 20.0;
        line.cap_height_px = 28.0;
        line.stroke_px = 4.0;
        line.x_height = Mm{1.7};
        line.text_color = letter;
        line.ground_color = ground;
        line.reversed = true;
        line.contrast = 14.0;
        line.paper_contrast = 7.0;
        for (int x = 84; x < 660; x += 18) {
            paint({x, line.box_px.y + 5, 4, 20}, letter);
            paint({x + 4, line.box_px.y + 12, 6, 4}, letter);
        }
        face.text.push_back(line);
    }
    return face;
}

}  // namespace paleproof::bench
