// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/rescale.h"

#include <doctest/doctest.h>

#include <cmath>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::rescale;

TEST_CASE("half the size is the mean of each four pixels") {
    const Image picture = test::noise(34, 22, Encoding::bilevel, 6);
    const Image half = rescale(picture, {17, 11});
    CHECK(half.encoding() == Encoding::gray);
    CHECK(half.ppi().value == 150.0);
    for (int y = 0; y < 11; ++y) {
        for (int x = 0; x < 17; ++x) {
            const double mean =
                (picture.row(2 * y)[2 * x] + picture.row(2 * y)[2 * x + 1] +
                 picture.row(2 * y + 1)[2 * x] + picture.row(2 * y + 1)[2 * x + 1]) /
                4.0;
            CHECK(std::abs(half.row(y)[x] - mean) <= 0.5);
        }
    }
}

TEST_CASE("any other size keeps a flat picture flat, and its own size keeps all") {
    const Image flat = test::flat(31, 17, 93);
    for (const SizePx size : {SizePx{1, 1}, SizePx{7, 5}, SizePx{30, 17}, SizePx{62, 40}}) {
        const Image other = rescale(flat, size);
        for (const auto byte : other.bytes()) CHECK(byte == 93);
    }
    const Image noise = test::noise(9, 9, Encoding::gray, 1);
    CHECK(rescale(noise, {9, 9}) == noise);
    CHECK_THROWS_AS((void)rescale(noise, {0, 4}), Error);
    CHECK_THROWS_AS((void)rescale(test::noise(3, 3, Encoding::srgb, 1), {2, 2}), Error);
}
