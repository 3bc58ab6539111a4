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
        case Style::tint:
            return tint_proof(face);
        case Style::line:
            return line_proof(face);
        case Style::hatch:
            return hatch_proof(face);
    }
    return face.source;
}

bool is_drawn(Style style) { return style == Style::line || style == Style::hatch; }

}  // namespace paleproof::app
