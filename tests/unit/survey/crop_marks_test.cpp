// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/crop_marks.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "support/pictures.h"

using namespace paleproof;
using survey::crop_marks;

namespace {

void black(Image& image, RectPx area) {
    const RectPx part = intersection(area, image.bounds());
    for (int y = part.y; y < part.bottom(); ++y) {
        std::fill_n(image.row(y) + part.x * image.channels(), part.width * image.channels(),
                    std::uint8_t{0});
    }
}

/// A card on white paper with marks 6 mm long, 3 mm off the trim, `thick` px wide at 300 ppi.
Image marked(RectPx trim, int bleed, SizePx size, int thick) {
    Image image(size.width, size.height, Encoding::srgb, Ppi{300});
    const Image art =
        test::soft_card(trim.width + 2 * bleed, trim.height + 2 * bleed, Encoding::srgb);
    for (int y = 0; y < art.height(); ++y) {
        std::copy_n(art.row(y), art.stride(), image.row(trim.y - bleed + y) + 3 * (trim.x - bleed));
    }
    const int off = 42;
    const int length = 70;
    for (const int x : {trim.x, trim.right()}) {
        black(image, {x - thick / 2, trim.y - off - length, thick, length});
        black(image, {x - thick / 2, trim.bottom() + off, thick, length});
    }
    for (const int y : {trim.y, trim.bottom()}) {
        black(image, {trim.x - off - length, y - thick / 2, length, thick});
        black(image, {trim.right() + off, y - thick / 2, length, thick});
    }
    return image;
}

bool near(int a, int b) { return a - b <= 1 && b - a <= 1; }

}  // namespace

TEST_CASE("printed crop marks give the trim within a pixel, and how far the art goes") {
    const RectPx trim{140, 150, 750, 1050};
    for (const int thick : {1, 2, 4}) {
        for (const int bleed : {0, 20, 38}) {
            CAPTURE(thick);
            CAPTURE(bleed);
            const auto found = crop_marks(marked(trim, bleed, {1040, 1360}, thick));
            REQUIRE(found);
            CHECK(near(found->trim.x, trim.x));
            CHECK(near(found->trim.y, trim.y));
            CHECK(near(found->trim.right(), trim.right()));
            CHECK(near(found->trim.bottom(), trim.bottom()));
            CHECK(near(found->art.x, trim.x - bleed));
            CHECK(near(found->art.bottom(), trim.bottom() + bleed));
        }
    }
}

TEST_CASE("a picture without marks, or with a mark missing, has none") {
    CHECK_FALSE(crop_marks(test::soft_card(750, 1050, Encoding::srgb)));
    CHECK_FALSE(crop_marks(test::noise(750, 1050, Encoding::srgb, 3)));
    CHECK_FALSE(crop_marks(test::flat(750, 1050, 255)));
    CHECK_FALSE(crop_marks(test::flat(1, 1, 255)));
    Image image = marked({140, 150, 750, 1050}, 38, {1040, 1360}, 2);
    REQUIRE(crop_marks(image));
    for (int y = 0; y < 150; ++y) std::fill_n(image.row(y), 3 * 200, std::uint8_t{255});
    CHECK_FALSE(crop_marks(image));
}
