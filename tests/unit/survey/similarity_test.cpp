// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/similarity.h"

#include <doctest/doctest.h>

#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;
using survey::edge_similarity;
using survey::structural_similarity;

namespace {

template <class Formula>
Image drawn(const Formula& formula) {
    Image image(64, 48, Encoding::gray, Ppi{300});
    for (int y = 0; y < 48; ++y) {
        for (int x = 0; x < 64; ++x) image.row(y)[x] = static_cast<std::uint8_t>(formula(x, y));
    }
    return image;
}

}  // namespace

TEST_CASE("structural similarity is what scikit-image gives") {
    // scikit-image 0.19.3, metrics.structural_similarity with gaussian_weights=True, sigma=1.5,
    // use_sample_covariance=False, data_range=255, on the same four pictures.
    const Image a = drawn([](int x, int y) { return (x * 7 + y * 13) % 256; });
    const Image b = drawn([](int x, int y) { return (x * 7 + y * 13 + (x * y) % 17) % 256; });
    const Image c = drawn([](int, int y) { return 40 + (170 * y) / 48; });
    const Image d = drawn([](int x, int y) { return (x / 3) % 5 == 0 ? 20 : 40 + (170 * y) / 48; });
    const Image inverse = drawn([](int x, int y) { return 255 - (x * 7 + y * 13) % 256; });
    CHECK(structural_similarity(a, b) == doctest::Approx(0.8075886186).epsilon(1e-7));
    CHECK(structural_similarity(c, d) == doctest::Approx(0.4333347385).epsilon(1e-7));
    CHECK(structural_similarity(a, inverse) == doctest::Approx(-0.6748621219).epsilon(1e-7));
    CHECK(structural_similarity(a, c) == doctest::Approx(0.2271923526).epsilon(1e-7));
    CHECK(structural_similarity(a, a) == doctest::Approx(1.0));
}

TEST_CASE("edges are alike whatever the tones are: a face and its lighter self") {
    const Image dark = test::soft_card(300, 400, Encoding::gray);
    Image light = dark;
    for (auto& byte : light.bytes()) byte = static_cast<std::uint8_t>(255 - (255 - byte) / 3);
    CHECK(edge_similarity(dark, light) > 0.95);
    CHECK(edge_similarity(dark, test::flat(300, 400, 255)) < 0.5);
}

TEST_CASE("lines 1.3 mm apart are seen: a face without its hatching is another") {
    const Image plain = test::soft_card(300, 400, Encoding::gray);
    Image hatched = plain;
    hatched.set_ppi(Ppi{300});
    for (int y = 0; y < 400; ++y) {
        if (y % 15 < 5) std::fill_n(hatched.row(y), 300, std::uint8_t{30});
    }
    CHECK(edge_similarity(hatched, hatched) == doctest::Approx(1.0));
    CHECK(edge_similarity(hatched, plain) < 0.3);
}

TEST_CASE("a proof whose resolution is off by a hair is measured at that of the face") {
    // At 100 ppi one of these widths has a pixel more by one of the two than by the other.
    for (int width = 955; width < 970; ++width) {
        Image face = test::soft_card(width, 50, Encoding::gray);
        Image proof = face;
        face.set_ppi(Ppi{350.3});
        proof.set_ppi(Ppi{349.7});
        CHECK(edge_similarity(face, proof) == doctest::Approx(1.0));
    }
}

TEST_CASE("pictures of other sizes and color are refused, tiny ones are equal or not") {
    CHECK_THROWS_AS((void)structural_similarity(test::flat(20, 20, 1), test::flat(20, 21, 1)),
                    Error);
    CHECK(structural_similarity(test::flat(3, 3, 1), test::flat(3, 3, 1)) == 1.0);
    CHECK(edge_similarity(test::flat(1, 1, 0), test::flat(1, 1, 255)) == 1.0);
}
