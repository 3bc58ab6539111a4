// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/solid_text.h"

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <vector>

#include "core/combine.h"
#include "filters/gray.h"
#include "filters/panel_flip.h"
#include "filters/text_clear.h"
#include "filters/text_guard.h"

namespace paleproof::app {
namespace {

/// Reach of the clear ground around lines of text in a pattern, in x-heights: it closes the gaps
/// between words, whose width is about an x-height, so that no hatching reads as a stroke.
constexpr double pattern_halo = 0.8;
/// Strokes of the art nearer than that to the ends of a line read as brackets or slashes, in
/// x-heights past its halo.
constexpr double clear_ends = 0.6;
constexpr Mm panel_rim{0.5};       // of a panel, in which the line along its edge lies
constexpr double line_from = 3.0;  // x-heights of length: shorter ones are marks, on small fields

/// Dark where a halo is, or where a symbol lies: within it nothing is drawn but its figure.
Image ground_of(const Image& halo, std::span<const filters::Letters> letters) {
    Image ground = halo;
    for (std::uint8_t& code : ground.bytes()) code = static_cast<std::uint8_t>(255 - code);
    for (const filters::Letters& cut : letters) {
        if (cut.field.empty()) continue;
        for (int y = 0; y < cut.part.height; ++y) {
            const std::uint8_t* in = cut.field.row(y);
            std::uint8_t* out = ground.row(cut.part.y + y) + cut.part.x;
            for (int x = 0; x < cut.part.width; ++x)
                out[x] = std::min(out[x], static_cast<std::uint8_t>(255 - in[x]));
        }
    }
    return ground;
}

bool is_line(const filters::Letters& cut) {
    return cut.field.empty() &&
           std::max(cut.part.width, cut.part.height) > line_from * cut.reach_px;
}

}  // namespace

filters::SolidText solid_text(const StyleInput& face, std::span<const filters::Letters> letters) {
    filters::SolidText text;
    text.letters = filters::text_guard(
        Image(face.source.width(), face.source.height(), Encoding::gray, face.source.ppi()),
        letters, {.ink = 1.0});
    // A line is there or not: nothing fades, and the rule above a line of text stays. At its ends
    // nothing is drawn.
    text.ground = darker(ground_of(filters::text_halo(face.source.size(), letters,
                                                      {.fade = 0.0, .ends = clear_ends}),
                                   letters),
                         text.letters);
    text.first.assign(face.first.begin(), face.first.end());
    for (const TextLine& line : face.text) {
        if (line.kind == TextLine::Kind::mark) text.marks.push_back(line.box_px);
    }
    return text;
}

Image clear_of_lines(const StyleInput& face, const filters::SolidText& text,
                     std::span<const filters::Letters> letters) {
    if (std::ranges::none_of(face.text, &TextLine::reversed)) return text.ground;
    const Image own = face.gray != nullptr ? Image() : filters::gray(face.source);
    const Image& gray = face.gray != nullptr ? *face.gray : own;
    const filters::Panels panels =
        filters::panel_flip(filters::text_clear(gray, letters), face.text);
    if (panels.count == 0) return text.ground;
    Image inside = filters::panels_inside(panels, panel_rim);
    for (std::uint8_t& code : inside.bytes()) code = static_cast<std::uint8_t>(255 - code);
    return darker(text.ground, inside);
}

Image clear_of_patterns(const filters::SolidText& text, std::span<const filters::Letters> letters) {
    std::vector<filters::Letters> lines;
    std::ranges::copy_if(letters, std::back_inserter(lines), is_line);
    return darker(text.ground,
                  ground_of(filters::text_halo(
                                text.ground.size(), lines,
                                {.halo = pattern_halo, .strong_halo = pattern_halo, .fade = 0.0}),
                            lines));
}

}  // namespace paleproof::app
