// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>

#include "app/styles.h"
#include "filters/gray.h"
#include "filters/line_art.h"
#include "filters/text_guard.h"

namespace paleproof::app {
namespace {

/// The guarded letters on paper, and all that the guard clears around them on black.
filters::SolidText solid_text(const StyleInput& face) {
    const Image gray = filters::gray(face.source);
    Image paper(gray.width(), gray.height(), Encoding::gray, gray.ppi());
    Image black = paper;
    std::ranges::fill(black.bytes(), std::uint8_t{0});
    filters::SolidText text;
    text.letters = filters::text_guard(gray, paper, face.text);
    text.ground = filters::text_guard(gray, black, face.text);
    // Paper where the guard left black; letters stay dark on both.
    const std::uint8_t* letter = text.letters.bytes().data();
    for (std::uint8_t& code : text.ground.bytes()) {
        code = *letter++ < 128 ? 0 : static_cast<std::uint8_t>(255 - code);
    }
    return text;
}

}  // namespace

Image line_proof(const StyleInput& face) {
    return filters::line_art(face.source, solid_text(face),
                             {.ink_budget = face.ink_budget, .area = face.trimmed});
}

}  // namespace paleproof::app
