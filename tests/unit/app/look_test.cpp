// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/look.h"

#include <doctest/doctest.h>

using namespace paleproof;

TEST_CASE("a look is the mean of each place, in base64 as RFC 4648 says") {
    // 3 x 1.5 mm: two places of one row, 4 x 4 pixels each; means 10 and 250.
    Image image(8, 4, Encoding::gray);
    for (int y = 0; y < 4; ++y) {
        for (int x = 0; x < 8; ++x) image.row(y)[x] = x < 4 ? 10 : 250;
    }
    // Bytes 0x0A 0xFA -> 000010 101111 1010(00) -> C v o =
    CHECK(app::look_of(image, image.bounds(), {{3.0}, {1.5}}) == "2x1x1:Cvo=");
    CHECK(app::look_difference("2x1x1:Cvo=", "2x1x1:Cvo=") == 0.0);
    CHECK(app::look_difference("2x1x1:Cvo=", "2x1x1:CvY=") == 4.0);  // 0xFA against 0xF6
}

TEST_CASE("grids of another shape and looks that are none differ as much as can be") {
    CHECK(app::look_difference("2x1x1:Cvo=", "1x2x1:Cvo=") == 255.0);
    CHECK(app::look_difference("", "") == 255.0);
    CHECK(app::look_difference("2x1x1:", "2x1x1:") == 255.0);
    CHECK(app::look_difference("2x1x1:!!", "2x1x1:!!") == 255.0);
}

TEST_CASE("the bleed is no part of a look, and twice the resolution gives the same one") {
    const auto drawing = [](int scale, std::uint8_t bleed) {
        Image image(64 * scale, 64 * scale, Encoding::gray);
        for (int y = 0; y < image.height(); ++y) {
            for (int x = 0; x < image.width(); ++x) {
                const bool inside =
                    x >= 8 * scale && x < 56 * scale && y >= 8 * scale && y < 56 * scale;
                image.row(y)[x] =
                    inside ? static_cast<std::uint8_t>(x / scale * 3 + y / scale) : bleed;
            }
        }
        return app::look_of(image, {8 * scale, 8 * scale, 48 * scale, 48 * scale},
                            {{12.0}, {12.0}});
    };
    CHECK(drawing(1, 0) == drawing(1, 255));
    CHECK(app::look_difference(drawing(1, 0), drawing(2, 0)) <= 1.0);
}
