// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "core/text_line.h"
#include "truth.h"

namespace paleproof::bench {

enum class Reach {
    whole,      ///< one box goes from end to end
    cut_short,  ///< the first or the last letter lies in no box of the line
    too_far,    ///< the box takes in more than an em of what isn't the line
    in_pieces,  ///< only several boxes together reach both ends
};
[[nodiscard]] std::string name(Reach reach);

/// How well the boxes of a line that was found cover it.
struct Ends {
    Reach reach = Reach::whole;
    int letters = 0, letters_outside = 0;  ///< outside of all boxes of the line
    int signs = 0, signs_outside = 0;      ///< the same for what is no letter and no figure
};

/// A glyph is covered when two thirds of its width, in the middle between base line and x-height,
/// lie in a box.
[[nodiscard]] Ends ends_of(const TrueLine& line, const std::vector<TextLine>& found, double em_px);

}  // namespace paleproof::bench
