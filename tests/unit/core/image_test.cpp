// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/image.h"

#include <doctest/doctest.h>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;

TEST_CASE("a new image is paper white and knows its size") {
    const Image image(3, 2, Encoding::srgb, Ppi{300});
    CHECK(image.bytes().size() == 18);
    for (const std::uint8_t byte : image.bytes()) CHECK(byte == 255);
    CHECK(image.stride() == 9);
    CHECK(Image(3, 2, Encoding::gray).bytes().size() == 6);
    CHECK_THROWS_AS(Image(0, 2, Encoding::gray), Error);
}

TEST_CASE("an image owns its pixels: a copy does not follow the original") {
    Image a = test::flat(4, 4, 9);
    const Image b = a;
    a.row(1)[2] = 77;
    CHECK(b.row(1)[2] == 9);
    CHECK_FALSE(a == b);
}

TEST_CASE("crop takes the pixels under the part and refuses a part outside") {
    const Image image = test::noise(7, 5, Encoding::srgb, 4);
    const Image part = crop(image, {2, 1, 4, 3});
    for (int y = 0; y < 3; ++y) {
        for (int i = 0; i < 12; ++i) CHECK(part.row(y)[i] == image.row(y + 1)[i + 6]);
    }
    CHECK_THROWS_AS((void)crop(image, {5, 0, 3, 1}), Error);
    CHECK_THROWS_AS((void)crop(image, {0, 0, 0, 1}), Error);
}

TEST_CASE("intersection is empty where rectangles do not meet") {
    CHECK(intersection({0, 0, 4, 4}, {2, 3, 9, 9}) == RectPx{2, 3, 2, 1});
    CHECK(intersection({0, 0, 4, 4}, {4, 0, 2, 2}).empty());
    CHECK(intersection({-3, -3, 9, 9}, {0, 0, 4, 5}) == RectPx{0, 0, 4, 5});
}
