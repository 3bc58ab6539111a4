// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/solid_text.h"

#include <algorithm>

#include "app/guarded_text.h"
#include "filters/text_guard.h"

namespace paleproof::app {

filters::SolidText solid_text(const StyleInput& face) {
    const auto letters = guarded_letters(face);
    filters::SolidText text;
    text.letters = filters::text_guard(
        Image(face.source.width(), face.source.height(), Encoding::gray, face.source.ppi()),
        letters, {.ink = 1.0});
    text.ground = filters::text_halo(face.source.size(), letters);
    const std::uint8_t* letter = text.letters.bytes().data();
    for (std::uint8_t& code : text.ground.bytes()) {
        code = std::min(*letter++, static_cast<std::uint8_t>(255 - code));
    }
    // Within a symbol nothing is drawn but its figure.
    for (const filters::Letters& cut : letters) {
        if (cut.field.empty()) continue;
        for (int y = 0; y < cut.part.height; ++y) {
            const std::uint8_t* in = cut.field.row(y);
            std::uint8_t* out = text.ground.row(cut.part.y + y) + cut.part.x;
            for (int x = 0; x < cut.part.width; ++x)
                out[x] = std::min(out[x], static_cast<std::uint8_t>(255 - in[x]));
        }
    }
    text.first.assign(face.first.begin(), face.first.end());
    return text;
}

}  // namespace paleproof::app
