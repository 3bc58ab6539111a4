// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/line_rank.h"

#include <doctest/doctest.h>

using namespace paleproof;
using filters::line_rank;
using filters::Plane;
using filters::stroke_flow;

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
    const auto flow = stroke_flow(edges.tone, 4.0);
    const Plane rank = line_rank({edges.tone, edges.contrast, flow, ppi}, {});
    CHECK(rank.row(150)[100] > 1.2F * rank.row(150)[300]);
    CHECK(rank.row(150)[300] > 0.0F);
    CHECK(rank.row(150)[200] == 0.0F);
}

TEST_CASE("beside a stronger line that runs the same way a line counts half") {
    TwoEdges edges;
    const auto flow = stroke_flow(edges.tone, 4.0);
    const Plane alone = line_rank({edges.tone, edges.contrast, flow, ppi}, {});
    // 0.6 mm are 7 pixels.
    for (int y = 0; y < 300; ++y) edges.contrast.row(y)[305] = 80.0F;
    const Plane beside = line_rank({edges.tone, edges.contrast, flow, ppi}, {});
    CHECK(beside.row(150)[300] < 0.55F * alone.row(150)[300]);
}

TEST_CASE("in the boxes that come first lines count four times, once each") {
    const TwoEdges edges;
    const auto flow = stroke_flow(edges.tone, 4.0);
    const Plane plain = line_rank({edges.tone, edges.contrast, flow, ppi}, {});
    const RectPx boxes[] = {{290, 100, 20, 50}, {295, 120, 30, 60}};
    const Plane first = line_rank({edges.tone, edges.contrast, flow, ppi}, boxes);
    CHECK(first.row(130)[300] == doctest::Approx(4.0F * plain.row(130)[300]));
    CHECK(first.row(50)[300] == plain.row(50)[300]);
    CHECK(first.row(130)[100] == plain.row(130)[100]);
}
