// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/cut.h"

#include <doctest/doctest.h>

#include <vector>

#include "support/pictures.h"

using namespace paleproof;
using survey::cut_survey;

namespace {

/// 63.5 x 88.9 mm at 254 ppi: ten pixels a millimeter.
TrimPlacement place(double bleed) {
    return {SizeMm{Mm{63.5}, Mm{88.9}}, Ppi{254}, RectPx{0, 0, 635, 889},
            Edges<Mm>{Mm{bleed}, Mm{bleed}, Mm{bleed}, Mm{bleed}}};
}

survey::Border border(double width_px, std::uint8_t code = 90) {
    survey::Border result;
    result.width_px = width_px;
    result.color = {code, code, code};
    return result;
}

TextLine line(RectPx box) {
    TextLine text;
    text.box_px = box;
    return text;
}

}  // namespace

TEST_CASE("a cut past the art shows as much paper as it is off, less the bleed") {
    CHECK(cut_survey(place(0), {}, {}, Mm{1}).worst.white.value == doctest::Approx(1.0));
    CHECK(cut_survey(place(0.4), {}, {}, Mm{1}).worst.white.value == doctest::Approx(0.6));
    CHECK(cut_survey(place(3), {}, {}, Mm{1.5}).worst.white.value == 0.0);
    CHECK(cut_survey(place(0), {}, {}, Mm{1}).even.white.value == 0.0);
    // Paper beside a white border is no fault.
    const auto white = border(30, 255);
    CHECK(cut_survey(place(0), {white, white, white, white}, {}, Mm{1}).worst.white.value == 0.0);
}

TEST_CASE("text nearer to the trim than the cut wanders is lost") {
    const std::vector text{line({300, 400, 100, 20}), line({5, 500, 50, 20}),
                           line({100, 864, 60, 20})};
    const auto found = cut_survey(place(3), {}, text, Mm{1});
    CHECK(found.even.lost_lines == 0);
    // 0.5 mm from the left and from the bottom: a cut to the right and up takes both.
    CHECK(found.worst.lost_lines == 2);
    CHECK(found.worst.right.value > 0.0);
    CHECK(found.worst.down.value < 0.0);
    CHECK(cut_survey(place(3), {}, text, Mm{0.4}).worst.lost_lines == 0);
}

TEST_CASE("a border is as lopsided as its widths after the cut") {
    // 2 mm on both sides, 1 mm off: 1 and 3 mm.
    const auto even = border(20);
    const auto found = cut_survey(place(3), {even, even, even, even}, {}, Mm{1});
    CHECK(found.even.lopsided == doctest::Approx(1.0));
    CHECK(found.worst.lopsided == doctest::Approx(3.0));
    const auto uneven = cut_survey(place(3), {{}, border(30), {}, border(20)}, {}, Mm{0});
    CHECK(uneven.even.lopsided == doctest::Approx(1.5));
    CHECK(uneven.even.lopsided_level);
}

TEST_CASE("the face as cut is the picture moved, with paper where there is none") {
    const Image image = test::noise(40, 30, Encoding::srgb, 1);
    const Image cut = survey::cut_out(image, {5, -3, 40, 30});
    CHECK(cut.width() == 40);
    CHECK(cut.row(0)[0] == 255);
    CHECK(cut.row(29)[3 * 39] == 255);
    CHECK(cut.row(3)[0] == image.row(0)[15]);
}
