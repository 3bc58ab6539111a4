// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <span>

#include "core/field.h"
#include "core/image.h"
#include "filters/letters.h"

namespace paleproof::filters {

struct TextGuard {
    double ink = 0.92;         ///< tone value of a letter's core in the result
    double halo = 0.35;        ///< reach of the light ground around the letters, in x-heights
    double strong_halo = 0.6;  ///< the same for strong letters, whose ink is 1 where ink is 0.92
    double fade = 0.7;         ///< x-heights from there on over which the proof comes back
    double ends = 0.0;         ///< how much farther lines of text reach at their ends, in x-heights
};

inline constexpr std::array text_guard_fields{
    Field<TextGuard>{"ink", "share", &TextGuard::ink, 0.3, 1.0},
    Field<TextGuard>{"halo", "x-heights", &TextGuard::halo, 0.0, 1.5},
    Field<TextGuard>{"strong-halo", "x-heights", &TextGuard::strong_halo, 0.0, 1.5},
    Field<TextGuard>{"fade", "x-heights", &TextGuard::fade, 0.0, 2.0},
    Field<TextGuard>{"ends", "x-heights", &TextGuard::ends, 0.0, 2.0},
};

/// Gray proof in which the given letters stand solid on light ground, whatever they stood on.
///
/// The letters are set over the proof; reversed text becomes dark on light this way, outlines and
/// shadows are left out. Before, a halo around them goes to paper: see text_halo.
///
/// Input    `proof`: gray; letters of the face that it was made from, in its pixels.
/// Result   gray, same size and ppi as the proof.
/// Keeps    every pixel outside the letters' boxes and their halos.
/// Edges    letters and halos are cut at the picture.
/// Cost     one pass over the boxes, and text_halo.
/// Errors   Error{range} for a field outside its limits; Error{format} for color.
/// Not for  letters that letters() cannot cut out.
/// Source   own construction, docs/filters.md#text_guard.
[[nodiscard]] Image text_guard(const Image& proof, std::span<const Letters> letters,
                               const TextGuard& p = {});

/// The same with the halo that text_halo gives for these letters, where it is known already.
[[nodiscard]] Image text_guard(const Image& proof, std::span<const Letters> letters,
                               const Image& halo, const TextGuard& p = {});

/// The letters alone, without a halo: what text_guard sets on paper.
[[nodiscard]] Image letters_on(Image proof, std::span<const Letters> letters,
                               const TextGuard& p = {});

/// The x-height, in pixels of the face, by which the halo of these letters is measured: their own.
/// Large letters on ground that is light all around, as the index of a playing card, need no more
/// paper around them than text of 6 pt: a wider halo would take the suit beside them with it. The
/// halo of letters in an outline covers it, so that its edge is not drawn around them.
///
/// Sizes by eye, on playing cards.
[[nodiscard]] double halo_x_height(const Image& face, const Letters& letters);

/// Whether letters stand on light ground of one tone, on which a gray proof leaves them without a
/// halo: it would be a pill of paper on a gray field. Light: our ink has 7 : 1 there (WCAG 2.2).
[[nodiscard]] bool on_even_light(const Image& face, const Letters& letters);

/// Where the ground of letters goes to paper, 0..255, as large as `size`: the letters dilated by
/// `halo` x-heights, fading over `fade` more, at the ends of lines from `ends` farther on. Along a
/// line it has no gaps between words and letters, and lines of a block have one halo: it follows
/// lines and has no visible rim. That of a symbol follows its form.
[[nodiscard]] Image text_halo(SizePx size, std::span<const Letters> letters,
                              const TextGuard& p = {});

}  // namespace paleproof::filters
