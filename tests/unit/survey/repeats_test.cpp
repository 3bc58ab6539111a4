// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/repeats.h"

#include <doctest/doctest.h>

#include <cmath>

#include "support/pictures.h"

using namespace paleproof;
using survey::repeats;

namespace {

/// Diamonds on a lattice of `pitch` px, every other row moved by `shift`.
Image lattice(int pitch, int shift) {
    Image image(744, 1039, Encoding::gray, Ppi{300});
    for (int y = 0; y < image.height(); ++y) {
        for (int x = 0; x < image.width(); ++x) {
            const int row = y / pitch;
            const int u = (x + row * shift) % pitch - pitch / 2;
            const int v = y % pitch - pitch / 2;
            const int code = std::abs(u) + std::abs(v) < pitch / 3 ? 40 : 210 - u;
            image.row(y)[x] = static_cast<std::uint8_t>(code);
        }
    }
    return image;
}

/// The step leads from every motif to its like.
void check_step(const survey::RepeatStep& step, bool level, int pitch, int shift) {
    REQUIRE(step.inward > 0);
    CHECK(step.likeness > 0.98);
    if (level) {
        CHECK(step.inward % pitch == 0);
        const int expected = step.inward / pitch * shift;
        CHECK(std::abs(step.along) % pitch == expected % pitch);
    }
}

}  // namespace

TEST_CASE("the step of a repeating pattern is found exactly, straight and staggered") {
    for (const int pitch : {16, 24, 40}) {
        CAPTURE(pitch);
        for (const int shift : {0, pitch / 2}) {
            CAPTURE(shift);
            const auto found = repeats(lattice(pitch, shift), {0, 0, 744, 1039}, Ppi{300});
            check_step(found.top, true, pitch, shift);
            check_step(found.bottom, true, pitch, shift);
            if (shift == 0) CHECK(found.left.inward % pitch == 0);
        }
    }
}

TEST_CASE("art that does not repeat has no step") {
    const auto none = [](const Image& image) {
        const auto found = repeats(image, image.bounds(), Ppi{300});
        return found.top.inward == 0 && found.left.inward == 0 && found.bottom.inward == 0 &&
               found.right.inward == 0;
    };
    CHECK(none(test::noise(744, 1039, Encoding::gray, 3)));
    CHECK(none(test::flat(744, 1039, 120)));
    CHECK(none(test::flat(1, 1, 120)));
    // A ramp correlates with itself everywhere, but does not repeat.
    Image ramp(744, 1039, Encoding::gray, Ppi{300});
    for (int y = 0; y < 1039; ++y) {
        for (int x = 0; x < 744; ++x) ramp.row(y)[x] = static_cast<std::uint8_t>((x + y) / 8);
    }
    CHECK(none(ramp));
}
