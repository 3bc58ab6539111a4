// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/guarded_text.h"

#include <algorithm>
#include <iterator>

#include "filters/lighten.h"
#include "filters/text_clear.h"

namespace paleproof::app {
namespace {

/// Tone value at which letters on paper have 5.7 : 1 (WCAG 2.2), over the 4.5 : 1 that small text
/// needs.
constexpr double least_ink = 0.60;

}  // namespace

std::vector<filters::Letters> guarded_letters(const StyleInput& face) {
    std::vector<filters::Letters> letters;
    for (std::size_t i = 0; i < face.text.size(); ++i) {
        const Guard guard = face.guard.empty() ? Guard::usual : face.guard[i];
        auto found = filters::letters(
            face.source, face.text.subspan(i, 1),
            guard == Guard::whole ? filters::LetterCut::whole : filters::LetterCut::sure);
        for (filters::Letters& line : found) line.strong = guard != Guard::usual;
        std::ranges::move(found, std::back_inserter(letters));
    }
    return letters;
}

GuardedText::GuardedText(const StyleInput& face)
    : size_(face.source.size()),
      letters_(guarded_letters(face)),
      halo_(filters::text_halo(size_, letters_, how_)) {}

double GuardedText::fit(double budget, RectPx trimmed) {
    const Image paper(size_.width, size_.height, Encoding::gray);
    const auto taken = [&] {
        return filters::coverage(filters::letters_on(paper, letters_, how_), trimmed);
    };
    const double ink = taken();
    if (ink <= budget) return ink;
    how_.ink = std::max(least_ink, how_.ink * budget / ink);
    return taken();
}

Image GuardedText::cleared(const Image& gray) const { return filters::text_clear(gray, letters_); }

Image GuardedText::set_on(const Image& proof) const {
    return filters::text_guard(proof, letters_, halo_, how_);
}

}  // namespace paleproof::app
