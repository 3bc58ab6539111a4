// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/guarded_text.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <vector>

#include "filters/gray.h"

using namespace paleproof;

namespace {

constexpr RectPx pennant{20, 20, 120, 160};
constexpr RectPx mark{60, 80, 40, 40};

/// A pennant of one color on paper, with a white mark on it.
Image face_with(color::Rgb8 field) {
    Image face(200, 300, Encoding::srgb, Ppi{300});
    for (int y = pennant.y; y < pennant.bottom(); ++y) {
        for (int x = pennant.x; x < pennant.right(); ++x) {
            const bool white = x >= mark.x && x < mark.right() && y >= mark.y && y < mark.bottom();
            std::uint8_t* p = face.row(y) + 3 * x;
            p[0] = white ? 255 : field.r;
            p[1] = white ? 255 : field.g;
            p[2] = white ? 255 : field.b;
        }
    }
    return face;
}

bool set_strongly(color::Rgb8 field, bool coded) {
    const Image face = face_with(field);
    const Image gray = filters::gray(face);
    const std::array symbols{Symbol{.box_px = mark,
                                    .ground_color = {field.r, field.g, field.b},
                                    .figure_color = {255, 255, 255},
                                    .contrast = 5.0}};
    const std::array codes{app::CodeArea{pennant, field}};
    app::StyleInput input{.source = face, .trimmed = face.bounds(), .symbols = symbols};
    input.gray = &gray;
    if (coded) input.codes = codes;
    const auto letters = app::guarded_letters(input);
    REQUIRE(letters.size() == 1);
    return letters[0].strong;
}

}  // namespace

TEST_CASE("a symbol on a field that stays dark gets the wide halo at once") {
    // Black on gray 90 has 3.0 : 1 (WCAG 2.2: (0.102 + 0.05) / 0.05), ink that is not quite solid
    // less; black on gray 150 has 7.1 : 1.
    CHECK(set_strongly({90, 90, 90}, true));
    CHECK_FALSE(set_strongly({150, 150, 150}, true));
    CHECK_FALSE(set_strongly({90, 90, 90}, false));  // a field that is lightened
}
