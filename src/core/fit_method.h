// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

namespace paleproof {

/// What is done with a picture that has not the shape of its card.
enum class FitMethod {
    keep,  ///< kept whole inside the trim; its edges are continued
    crop,  ///< cut evenly on two sides
    scale  ///< stretched to the shape
};

}  // namespace paleproof
