// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/guarded_text.h"
#include "app/solid_text.h"
#include "app/styles.h"
#include "filters/line_art.h"

namespace paleproof::app {

Image line_proof(const StyleInput& face) {
    return filters::line_art(face.source, solid_text(face, guarded_letters(face)),
                             {.ink_budget = face.ink_budget, .area = face.trimmed});
}

}  // namespace paleproof::app
