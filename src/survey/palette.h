// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "color/srgb.h"
#include "core/geometry.h"
#include "core/image.h"
#include "core/text_line.h"
#include "survey/flat_areas.h"

namespace paleproof::survey {

enum class AreaKind {
    border,  ///< runs around the face
    panel,   ///< an eighth of the face or more
    symbol,  ///< compact and small: a pip, a suit mark, a pennant
    rule,    ///< long and thin
    text     ///< the letters of one line
};

[[nodiscard]] std::string_view name(AreaKind kind);

/// One connected flat or nearly flat area of one color.
struct ColorArea {
    color::Rgb8 color;  ///< mean of its flat pixels
    AreaKind kind = AreaKind::symbol;
    RectPx box_px;       ///< bounding box in pixels of the face
    RectPx core_px;      ///< square wholly inside of the area; for text, the box
    double area = 0.0;   ///< pixels of the face that it covers
    double share = 0.0;  ///< the same as a share of the trimmed area, 0..1
};

/// Two colors that lie side by side somewhere on the face.
struct Neighbors {
    color::Rgb8 a, b;
};

/// Two areas of a face that touch along a good part of their edge; indices into Palette::areas.
struct Touch {
    std::size_t a = 0, b = 0;
};

struct Palette {
    std::vector<ColorArea> areas;      ///< largest first, text last; at most most_areas
    std::vector<Touch> touches;        ///< a < b, in order
    std::vector<Neighbors> neighbors;  ///< a sample of neighboring pixels that differ
};

inline constexpr std::size_t most_areas = 96;
inline constexpr std::size_t most_neighbors = 4096;

/// The colors that carry meaning on a face: flat areas of 1.5 mm2 or more with an edge of their
/// own, and the letters of its text lines. What runs softly into its surroundings (sky, glow,
/// paint) is left out. Looked at by the mean of squares of about 1/150 in.
///
/// Input   any encoding; `trimmed` inside the image; ppi 0 counts as 300.
/// Errors  Error{internal} when `trimmed` leaves the image or is empty.
/// Source  own construction, docs/findings.md#gray-twins.
[[nodiscard]] Palette palette(const Image& face, RectPx trimmed, Ppi ppi,
                              std::span<const TextLine> text);

/// The same where the small view of the trimmed area is known already.
[[nodiscard]] Palette palette(const Image& face, const SmallView& view, Ppi ppi,
                              std::span<const TextLine> text);

}  // namespace paleproof::survey
