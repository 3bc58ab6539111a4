// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/stroke_flow.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace paleproof;
using filters::along_flow;
using filters::Plane;
using filters::stroke_flow;

namespace {

/// A grating whose lines run at `angle` (radians, clockwise on the page from rightward).
Plane grating(int size, double angle) {
    Plane picture(size, size);
    for (int y = 0; y < size; ++y) {
        for (int x = 0; x < size; ++x) {
            const double across = -x * std::sin(angle) + y * std::cos(angle);
            picture.row(y)[x] = static_cast<float>(128.0 + 100.0 * std::sin(across * 0.7));
        }
    }
    return picture;
}

}  // namespace

TEST_CASE("the flow runs along the lines of a grating, whatever their angle") {
    for (int degrees = 0; degrees < 180; degrees += 15) {
        CAPTURE(degrees);
        const double angle = degrees * std::numbers::pi / 180.0;
        const auto flow = stroke_flow(grating(64, angle), 4.0);
        const auto& a = flow.at(32, 32);
        CHECK(a.sure > 0.9F);
        // The cosine of 3 degrees: the gradient is a difference of neighbors.
        const double along = std::abs(static_cast<double>(a.x) * std::cos(angle) +
                                      static_cast<double>(a.y) * std::sin(angle));
        CHECK(along > std::cos(3.0 * std::numbers::pi / 180.0));
    }
}

TEST_CASE("a flat picture has no flow and is left alone") {
    const Plane flat(20, 11, 50.0F);
    const auto flow = stroke_flow(flat, 4.0);
    for (const auto& cell : flow.cells) CHECK(cell.sure == 0.0F);
    CHECK(along_flow(flat, flow, 4.0, 1000.0F).values == flat.values);
}

TEST_CASE("a gap in a line is bridged along it, and nothing is spread across it") {
    // A dark line from left to right with a hole of two pixels.
    const auto flow = stroke_flow(grating(64, 0.0), 4.0);
    Plane values(64, 64);
    for (int x = 0; x < 64; ++x) values.row(32)[x] = x == 30 || x == 31 ? -1.0F : -20.0F;
    const Plane result = along_flow(values, flow, 4.0, -0.5F);
    CHECK(result.row(32)[30] < -14.0F);
    CHECK(result.row(31)[30] == 0.0F);
    CHECK(result.row(32)[10] == doctest::Approx(-20.0F).epsilon(0.02));
}
