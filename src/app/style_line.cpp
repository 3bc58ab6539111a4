// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/guarded_text.h"
#include "app/solid_text.h"
#include "app/styles.h"
#include "filters/line_art.h"

namespace paleproof::app {

Image line_proof(const StyleInput& face) {
    const auto letters = guarded_letters(face);
    filters::SolidText text = solid_text(face, letters);
    text.ground = clear_of_lines(face, text, letters);
    return filters::line_art(face.source, text,
                             {.ink_budget = face.ink_budget, .area = face.trimmed});
}

}  // namespace paleproof::app
