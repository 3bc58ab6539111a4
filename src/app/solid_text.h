// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "app/styles.h"
#include "filters/line_art.h"

namespace paleproof::app {

/// What drawn styles set solid: the letters, and where no line may run around them, which is what
/// gray proofs clear; and the symbols of the face.
[[nodiscard]] filters::SolidText solid_text(const StyleInput& face);

}  // namespace paleproof::app
