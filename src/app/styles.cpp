// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/styles.h"

namespace paleproof::app {

Image styled_proof(const StyleInput& face, Style style) {
    switch (style) {
        case Style::color:
            return face.source;
        case Style::gray:
            return gray_proof(face);
    }
    return face.source;
}

}  // namespace paleproof::app
