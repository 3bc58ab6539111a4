// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>

#include "app/styles.h"
#include "filters/gray.h"
#include "filters/lighten.h"
#include "filters/text_guard.h"

namespace paleproof::app {

Image gray_proof(const StyleInput& face) {
    const Image gray = filters::gray(face.source);
    if (face.ink_budget >= 1.0) return gray;
    constexpr int tries = 4;
    // What the guarded text takes is taken from the picture.
    double picture_budget = face.ink_budget;
    Image proof = gray;
    for (int i = 0; i < tries; ++i) {
        proof = filters::text_guard(
            gray, filters::lighten(gray, {.ink_budget = picture_budget, .area = face.trimmed}),
            face.text);
        const double over = filters::coverage(proof, face.trimmed) - face.ink_budget;
        if (over <= 0.001) break;
        picture_budget = std::max(0.0, picture_budget - over);
    }
    return proof;
}

}  // namespace paleproof::app
