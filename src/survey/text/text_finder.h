// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <vector>

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::survey {

/// The lines of text on one face, from the top left.
struct TextSurvey {
    std::vector<TextLine> lines;
    bool cut = false;  ///< there were more than TextFinder::most_lines; the strongest were kept
};

/// Relative luminance 0..1 of what the paper shows where a color of the face is printed.
using PaperLuminance = std::function<double(RgbCode)>;

/// Finds and measures lines of Latin text from pixels alone.
///
/// Looks for  lines of two or more glyphs, 4 to 36 pt, dark on light and reversed, upright, turned
///            by 90, 180 or 270 degrees or slightly slanted, at a contrast of 1.6 : 1 or more; and
///            single numbers or letters that stand clear (Kind::mark).
/// How        a small net proposes the band of each line on the luminance at 150 ppi; the strokes
///            inside the band verify, split, merge and measure it at full resolution.
/// Measures   x-height and cap height between the half-contrast crossings of the row profile;
///            stroke = area of the ink over half its outline; colors from the core of the strokes
///            and from the ring around them (an outline or a shadow is ground); contrast = the
///            WCAG 2.2 ratio that 90 % of the line's length reaches.
/// Assumes    an image with its own resolution at printed size, 150 to 1200 ppi; others are
///            measured too, with less certainty.
/// Same image, same answer, on any number of threads. One finder serves all threads.
class TextFinder {
  public:
    static constexpr int most_lines = 200;

    /// With the net that is part of the library.
    TextFinder();
    /// With another net, as ONNX bytes: input (1, 1 or 3, H, W) 0..1 at 150 ppi, output
    /// (1, 1 or 2, H/2, W/2) logits of lines and of marks. Error{format} if it cannot be read.
    explicit TextFinder(std::span<const std::uint8_t> onnx);
    ~TextFinder();
    TextFinder(TextFinder&&) noexcept;
    TextFinder& operator=(TextFinder&&) noexcept;

    /// The text on `image`, whose resolution at printed size is `ppi` (300 is taken when it is not
    /// positive). `paper` gives what is seen in print; without it paper_contrast = contrast.
    [[nodiscard]] TextSurvey find(const Image& image, Ppi ppi,
                                  const PaperLuminance& paper = {}) const;

  private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

}  // namespace paleproof::survey
