// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"
#include "core/text_line.h"
#include "survey/text/text_finder.h"

namespace paleproof::survey {

/// Mends the color of outlined text. Where a line's ground is its outline, art beyond the outline
/// lies on the text's side too and may have been taken for letters. Parts as tall as letters that
/// are wholly enclosed by the ground are letters for certain: when they fill most of the line's
/// length and are clearly farther from the ground than the line's text color, theirs is the text
/// color, and the contrast is that to the outline. Other lines are left as they are.
void mend_outlined(TextLine& line, const Image& face, const PaperLuminance& paper);

}  // namespace paleproof::survey
