// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/line_rank.h"

#include <doctest/doctest.h>

using namespace paleproof;
using filters::line_rank;
using filters::Plane;

namespace {

constexpr Ppi ppi{300};

/// Two upright edges, the left one between very different tones.
struct TwoEdges {
    Plane tone{400, 300, 250.0F};
    Plane contrast{400, 300};
    TwoEdges() {
        for (int y = 0; y < 300; ++y) {
            for (int x = 100; x < 400; ++x) tone.row(y)[x] = x < 300 ? 60.0F : 45.0F;
            contrast.row(y)[100] = 190.0F;
            contrast.row(y)[300] = 15.0F;
        }
    }
};

}  // namespace

TEST_CASE("the edge between more different tones ranks higher") {
    const TwoEdges edges;
    const Plane rank = line_rank({edges.tone, edges.contrast, ppi}, {});
    CHECK(rank.row(150)[100] > 1.2F * rank.row(150)[300]);
    CHECK(rank.row(150)[300] > 0.0F);
    CHECK(rank.row(150)[200] == 0.0F);
}

TEST_CASE("in the boxes that come first lines count eight times, once each") {
    const TwoEdges edges;
    const Plane plain = line_rank({edges.tone, edges.contrast, ppi}, {});
    const RectPx boxes[] = {{290, 100, 20, 50}, {295, 120, 30, 60}};
    const Plane first = line_rank({edges.tone, edges.contrast, ppi}, boxes);
    CHECK(first.row(130)[300] == doctest::Approx(8.0F * plain.row(130)[300]));
    CHECK(first.row(50)[300] == plain.row(50)[300]);
    CHECK(first.row(130)[100] == plain.row(130)[100]);
}
