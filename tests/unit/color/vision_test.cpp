// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/vision.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "color/difference.h"
#include "core/error.h"
#include "unit/color/reference_tables.h"

using namespace paleproof::color;
using paleproof::Error;
namespace reference = paleproof::reference;

namespace {

Rgb8 rgb(std::uint32_t hex) {
    return {static_cast<std::uint8_t>(hex >> 16U), static_cast<std::uint8_t>(hex >> 8U),
            static_cast<std::uint8_t>(hex)};
}

std::uint32_t hex(Rgb8 color) {
    return static_cast<std::uint32_t>(color.r << 16 | color.g << 8 | color.b);
}

// Okabe and Ito, Color Universal Design, 2008 (codes from memory).
const std::vector<std::uint32_t> okabe_ito = {0x000000, 0xE69F00, 0x56B4E9, 0x009E73,
                                              0xF0E442, 0x0072B2, 0xD55E00, 0xCC79A7};

template <class Seen>
double least_difference(Seen seen) {
    double least = std::numeric_limits<double>::max();
    for (std::size_t i = 0; i < okabe_ito.size(); ++i) {
        for (std::size_t j = i + 1; j < okabe_ito.size(); ++j) {
            least = std::min(least, ciede2000(seen(rgb(okabe_ito[i])), seen(rgb(okabe_ito[j]))));
        }
    }
    return least;
}

}  // namespace

// Machado, Oliveira, Fernandes 2009: published matrices on linear light; worked outside the
// project.
TEST_CASE("full severity gives the worked colors of the 2009 model") {
    const VisionModel protan(Vision::protan), deutan(Vision::deutan), tritan(Vision::tritan);
    for (const auto& row : reference::simulated) {
        CAPTURE(row.rgb);
        CHECK(hex(protan(rgb(row.rgb))) == row.machado_protan);
        CHECK(hex(deutan(rgb(row.rgb))) == row.machado_deutan);
        CHECK(hex(tritan(rgb(row.rgb))) == row.machado_tritan);
    }
}

TEST_CASE("half severity gives the worked colors of the 2009 model") {
    const VisionModel protan(Vision::protan, 0.5), deutan(Vision::deutan, 0.5);
    const VisionModel tritan(Vision::tritan, 0.5);
    for (const auto& row : reference::half_simulated) {
        CAPTURE(row.rgb);
        CHECK(hex(protan(rgb(row.rgb))) == row.protan);
        CHECK(hex(deutan(rgb(row.rgb))) == row.deutan);
        CHECK(hex(tritan(rgb(row.rgb))) == row.tritan);
    }
}

// Vienot, Brettel, Mollon 1999.
TEST_CASE("the 1999 model gives its worked colors") {
    const VisionModel protan = vienot(Vision::protan), deutan = vienot(Vision::deutan);
    for (const auto& row : reference::simulated) {
        CAPTURE(row.rgb);
        CHECK(hex(protan(rgb(row.rgb))) == row.vienot_protan);
        CHECK(hex(deutan(rgb(row.rgb))) == row.vienot_deutan);
    }
    CHECK_THROWS_AS((void)vienot(Vision::tritan), Error);
}

// The products of the paper's matrices, to the five digits that follow from its printed numbers.
TEST_CASE("the 1999 model reduces to one red-green response") {
    const auto protan = vienot(Vision::protan).matrix();
    CHECK(std::abs(protan[0][0] - 0.11238) < 1e-5);
    CHECK(std::abs(protan[1][1] - 0.88762) < 1e-5);
    const auto deutan = vienot(Vision::deutan).matrix();
    CHECK(std::abs(deutan[0][0] - 0.29275) < 1e-5);
    CHECK(std::abs(deutan[1][1] - 0.70725) < 1e-5);
}

TEST_CASE("severity 0 changes nothing, and grays stay at every severity") {
    for (const Vision vision : {Vision::protan, Vision::deutan, Vision::tritan}) {
        CAPTURE(name(vision));
        for (const auto& row : reference::simulated) {
            CHECK(hex(VisionModel(vision, 0.0)(rgb(row.rgb))) == row.rgb);
        }
        for (int step = 0; step <= 20; ++step) {
            const VisionModel model(vision, step / 20.0);
            CAPTURE(step);
            const auto matrix = model.matrix();
            for (const auto& line : matrix) {
                CHECK(std::abs(line[0] + line[1] + line[2] - 1.0) < 2e-6);
            }
            for (int code = 0; code < 256; code += 15) {
                const auto c = static_cast<std::uint8_t>(code);
                CHECK(model({c, c, c}) == Rgb8{c, c, c});
            }
        }
    }
}

// The supplement tabulates steps of 0.1; between them matrices are averaged (practice of the
// colour-science library's documentation, example at 0.15).
TEST_CASE("between two published severities the matrix lies half way") {
    const auto lower = VisionModel(Vision::protan, 0.1).matrix();
    const auto upper = VisionModel(Vision::protan, 0.2).matrix();
    const auto between = VisionModel(Vision::protan, 0.15).matrix();
    CHECK(std::abs(lower[0][0] - 0.856167) < 1e-9);
    CHECK(std::abs(upper[0][0] - 0.734766) < 1e-9);
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t j = 0; j < 3; ++j) {
            CHECK(std::abs(between[i][j] - (lower[i][j] + upper[i][j]) / 2.0) < 1e-9);
        }
    }
}

TEST_CASE("a severity outside 0 to 1 is refused") {
    CHECK_THROWS_AS(VisionModel(Vision::protan, -0.1), Error);
    CHECK_THROWS_AS(VisionModel(Vision::deutan, 1.01), Error);
    CHECK_THROWS_AS(VisionModel(Vision::tritan, std::nan("")), Error);
}

// Least CIEDE2000 between any two of the eight colors, computed outside the project on simulated
// colors that were rounded to 8 bits; ours are not, which moves the distances by up to 0.3. Safe
// for color vision, lost in gray.
TEST_CASE("the Okabe-Ito palette keeps its published distances under each model") {
    CHECK(std::abs(least_difference([](Rgb8 c) { return lab(c); }) - 21.72) < 0.05);
    const auto seen_by = [](const VisionModel& model) {
        return least_difference([&](Rgb8 c) { return model.lab(c); });
    };
    CHECK(std::abs(seen_by(VisionModel(Vision::protan)) - 12.26) < 0.15);
    CHECK(std::abs(seen_by(VisionModel(Vision::deutan)) - 11.52) < 0.15);
    CHECK(std::abs(seen_by(VisionModel(Vision::tritan)) - 11.13) < 0.3);
    CHECK(std::abs(seen_by(vienot(Vision::protan)) - 12.33) < 0.15);
    CHECK(std::abs(seen_by(vienot(Vision::deutan)) - 11.65) < 0.15);
    const double in_gray = least_difference([](Rgb8 c) {
        return Lab{lightness(relative_luminance(c)), 0.0, 0.0};
    });
    CHECK(std::abs(in_gray - 0.57) < 0.05);
}
