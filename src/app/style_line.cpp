// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>

#include "app/styles.h"
#include "filters/letters.h"
#include "filters/line_art.h"
#include "filters/text_guard.h"

namespace paleproof::app {
namespace {

/// The letters on paper, and where no line may run: what gray proofs clear around letters.
filters::SolidText solid_text(const StyleInput& face) {
    const auto letters = filters::letters(face.source, face.text);
    filters::SolidText text;
    text.letters = filters::text_guard(
        Image(face.source.width(), face.source.height(), Encoding::gray, face.source.ppi()),
        letters, {.ink = 1.0});
    text.ground = filters::text_halo(face.source.size(), letters);
    const std::uint8_t* letter = text.letters.bytes().data();
    for (std::uint8_t& code : text.ground.bytes()) {
        code = std::min(*letter++, static_cast<std::uint8_t>(255 - code));
    }
    return text;
}

}  // namespace

Image line_proof(const StyleInput& face) {
    return filters::line_art(face.source, solid_text(face),
                             {.ink_budget = face.ink_budget, .area = face.trimmed});
}

}  // namespace paleproof::app
