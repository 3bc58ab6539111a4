// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/sharpness.h"

#include <doctest/doctest.h>

#include <cmath>

#include "support/pictures.h"

using namespace paleproof;
using survey::sharpness;

namespace {

/// Blocks of random gray, 12 px each.
Image blocks(int width, int height) {
    Image image(width, height, Encoding::gray, Ppi{300});
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            test::Dice dice(static_cast<std::uint32_t>(x / 12 + 1000 * (y / 12)));
            dice.next();
            dice.next();
            image.row(y)[x] = static_cast<std::uint8_t>(dice.next() >> 24);
        }
    }
    return image;
}

/// Enlarged `times` by straight interpolation.
Image enlarged(const Image& image, double times) {
    const auto width = static_cast<int>(image.width() * times);
    const auto height = static_cast<int>(image.height() * times);
    Image result(width, height, Encoding::gray, image.ppi());
    for (int y = 0; y < height; ++y) {
        const double sy = std::max(0.0, (y + 0.5) / times - 0.5);
        const int y0 = std::min(static_cast<int>(sy), image.height() - 1);
        const int y1 = std::min(y0 + 1, image.height() - 1);
        for (int x = 0; x < width; ++x) {
            const double sx = std::max(0.0, (x + 0.5) / times - 0.5);
            const int x0 = std::min(static_cast<int>(sx), image.width() - 1);
            const int x1 = std::min(x0 + 1, image.width() - 1);
            const double tx = sx - x0;
            const double ty = sy - y0;
            const double a = image.row(y0)[x0] * (1 - tx) + image.row(y0)[x1] * tx;
            const double b = image.row(y1)[x0] * (1 - tx) + image.row(y1)[x1] * tx;
            result.row(y)[x] = static_cast<std::uint8_t>(std::lround(a * (1 - ty) + b * ty));
        }
    }
    return result;
}

}  // namespace

TEST_CASE("an edge enlarged k times is about k pixels wide") {
    // Straight interpolation turns a step into a ramp of k pixels (geometry).
    const Image sharp = blocks(300, 420);
    for (const double times : {1.0, 2.0, 3.0, 4.0}) {
        CAPTURE(times);
        const Image image = enlarged(sharp, times);
        const auto found = sharpness(image, image.bounds(), Ppi{300});
        CHECK(found.edge_px == doctest::Approx(times).epsilon(0.25));
    }
}

TEST_CASE("sharp lettering in one place does not hide that the rest was enlarged") {
    Image image = enlarged(blocks(190, 263), 4.0);
    for (int y = 800; y < 1000; ++y) {
        for (int x = 60; x < 700; ++x) image.row(y)[x] = x / 5 % 2 == 0 ? 0 : 255;
    }
    CHECK(sharpness(image, image.bounds(), Ppi{300}).edge_px > 2.5);
}

TEST_CASE("art without edges says nothing of its sharpness, line art is told from tone") {
    CHECK(sharpness(test::flat(300, 420, 90), {0, 0, 300, 420}, Ppi{300}).edge_px == 0.0);
    CHECK(sharpness(test::flat(1, 1, 90), {0, 0, 1, 1}, Ppi{300}).edge_px == 0.0);
    CHECK_FALSE(sharpness(blocks(300, 420), {0, 0, 300, 420}, Ppi{300}).line_art);
    Image lines = test::flat(300, 420, 255);
    for (int y = 0; y < 420; ++y) {
        for (int x = y % 7; x < 300; x += 9) lines.row(y)[x] = 0;
    }
    CHECK(sharpness(lines, lines.bounds(), Ppi{300}).line_art);
}
