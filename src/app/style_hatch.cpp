// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>

#include "app/guarded_text.h"
#include "app/solid_text.h"
#include "app/styles.h"
#include "filters/hatch.h"
#include "filters/lighten.h"
#include "filters/line_art.h"

namespace paleproof::app {
namespace {

/// What patterns may take of the budget; letters and lines have the rest.
constexpr double pattern_share = 1.0 / 3.0;

RectPx scaled(RectPx box, double scale, const Image& within) {
    const auto at = [scale](int length) { return static_cast<int>(length * scale + 0.5); };
    return intersection({at(box.x), at(box.y), at(box.width), at(box.height)}, within.bounds());
}

}  // namespace

Image hatch_proof(const StyleInput& face) {
    const auto letters = guarded_letters(face);
    filters::SolidText text = solid_text(face, letters);
    std::vector<filters::HatchArea> areas;
    for (const plan::FacePattern& pattern : face.patterns) {
        areas.push_back({pattern.pattern, pattern.places});
    }
    const Image patterns = filters::hatch(face.source, areas, clear_of_patterns(text, letters),
                                          {.ink_budget = pattern_share * face.ink_budget,
                                           .area = face.trimmed,
                                           .origin_x = face.trimmed.x,
                                           .origin_y = face.trimmed.y});
    const double scale = static_cast<double>(patterns.width()) / face.source.width();
    const double taken = filters::coverage(patterns, scaled(face.trimmed, scale, patterns));
    text.ground = clear_of_lines(face, text, letters);
    const Image lines = filters::line_art(
        face.source, text,
        {.ink_budget = std::max(0.0, face.ink_budget - taken), .area = face.trimmed});
    return filters::both_inks(lines, patterns);
}

}  // namespace paleproof::app
