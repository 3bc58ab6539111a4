// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>

#include "app/styles.h"
#include "filters/gray.h"
#include "filters/lighten.h"
#include "filters/text_clear.h"
#include "filters/text_guard.h"

namespace paleproof::app {

Image gray_proof(const StyleInput& face) {
    const Image gray = filters::gray(face.source);
    if (face.ink_budget >= 1.0) return gray;
    const auto letters = filters::letters(face.source, face.text);
    const Image halo = filters::text_halo(gray.size(), letters);
    const Image paper(gray.width(), gray.height(), Encoding::gray, gray.ppi());
    // The text is served first; the picture gets what is left of the budget.
    const double text_ink = filters::coverage(filters::text_guard(paper, letters), face.trimmed);
    const Image picture = filters::lighten(filters::text_clear(gray, letters),
                                           {.ink_budget = std::max(0.0, face.ink_budget - text_ink),
                                            .area = face.trimmed,
                                            .paper = &halo});
    return filters::text_guard(picture, letters);
}

}  // namespace paleproof::app
