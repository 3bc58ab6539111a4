// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/deck.h"

namespace paleproof {

int Deck::cards() const {
    int sum = 0;
    for (const DeckFace& face : faces) {
        sum += face.copies;
    }
    return sum;
}

}  // namespace paleproof
