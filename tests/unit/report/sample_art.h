// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "core/geometry.h"
#include "core/result.h"

namespace paleproof::report_sample {

/// One line of text that a sample card shows, in pixels of the full card.
struct SampleLine {
    std::string words;
    int x = 0;         ///< left end
    int baseline = 0;  ///< from the top
    double scale = 1.0;
    int gray = 255;  ///< of the letters
};

/// A drawn card: a moonlit orchard with a suit's light on it, a pale panel, and lines of text.
struct SampleCard {
    int seed = 1;
    int hue = 0;  ///< 0..3, one for each suit
    bool panel = true;
    std::vector<SampleLine> lines;
};

inline constexpr SizePx card_px{744, 1039};  ///< 63 x 88 mm at 300 ppi

/// The card in color, and light gray as a proof would show it with `bleed` pixels added around.
struct SampleThumbnails {
    Thumbnail source;
    Thumbnail proof;
    Thumbnail source_heat;
    Thumbnail proof_heat;
};
[[nodiscard]] SampleThumbnails sample_thumbnails(const SampleCard& card, int bleed_px, int width);

/// Where the words of a line lie, in pixels of the full card.
[[nodiscard]] RectPx line_box(const SampleLine& line);

}  // namespace paleproof::report_sample
