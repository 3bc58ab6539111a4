// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/finding_words.h"

namespace paleproof::report {

std::string_view words_of(const FaceResult& face, const Finding& finding) {
    if (finding.box_px) {
        for (const TextLine& line : face.text) {
            if (line.box_px == *finding.box_px) {
                return line.words;
            }
        }
    }
    return {};
}

}  // namespace paleproof::report
