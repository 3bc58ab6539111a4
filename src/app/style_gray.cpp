// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>

#include "app/guarded_text.h"
#include "app/styles.h"
#include "filters/gray.h"
#include "filters/lighten.h"
#include "filters/panel_flip.h"

namespace paleproof::app {
namespace {

/// A gray picture with ink laid over it, where it has less.
Image inked(Image gray, const Image& ink) {
    std::ranges::transform(gray.bytes(), ink.bytes(), gray.bytes().begin(),
                           [](std::uint8_t code, std::uint8_t i) {
                               return std::min(code, static_cast<std::uint8_t>(255 - i));
                           });
    return gray;
}

}  // namespace

Image gray_proof(const StyleInput& face) {
    const Image own = face.gray != nullptr ? Image() : filters::gray(face.source);
    const Image& gray = face.gray != nullptr ? *face.gray : own;
    if (face.ink_budget >= 1.0) return gray;
    // The text is served first; the picture gets what is left of the budget.
    GuardedText text(face);
    double fixed_ink = text.fit(face.ink_budget, face.trimmed);
    const Image cleared = text.cleared(gray);
    filters::Panels panels = filters::panel_flip(cleared, face.text);
    if (panels.count > 0) {
        const Image paper(gray.width(), gray.height(), Encoding::gray);
        const double ruled =
            filters::coverage(text.set_on(inked(paper, panels.rules)), face.trimmed);
        if (ruled <= face.ink_budget) {
            fixed_ink = ruled;
        } else {
            panels.count = 0;
        }
    }
    Image free = text.halo();
    if (panels.count > 0) {
        std::ranges::transform(free.bytes(), panels.paper.bytes(), free.bytes().begin(),
                               [](std::uint8_t a, std::uint8_t b) { return std::max(a, b); });
    }
    Image picture =
        filters::lighten(cleared, {.ink_budget = std::max(0.0, face.ink_budget - fixed_ink),
                                   .area = face.trimmed,
                                   .paper = &free});
    if (panels.count > 0) picture = inked(picture, panels.rules);
    return text.set_on(picture);
}

double least_text_coverage(const StyleInput& face) {
    return GuardedText(face).fit(0.0, face.trimmed);
}

}  // namespace paleproof::app
