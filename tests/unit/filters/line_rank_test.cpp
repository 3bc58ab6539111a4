// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/line_rank.h"

#include <doctest/doctest.h>

#include <cstddef>
#include <vector>

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

TEST_CASE("past the trim lines stay that come across it, not those along it") {
    // A card carried on by 20 pixels: a frame's echo above the trim, a line that crosses the trim,
    // and a scrap that ends before it.
    const RectPx area{20, 20, 60, 60};
    Plane rank(100, 100);
    filters::StrokeFlow flow{50, 50, std::vector<filters::StrokeFlow::Along>(2500, {0, 1, 1})};
    const auto draw = [&](RectPx line, filters::StrokeFlow::Along along) {
        for (int y = line.y; y < line.bottom(); ++y) {
            for (int x = line.x; x < line.right(); ++x) {
                rank.row(y)[x] = 1.0F;
                flow.cells[static_cast<std::size_t>(50 * (y / 2) + x / 2)] = along;
            }
        }
    };
    draw({20, 12, 60, 2}, {1, 0, 1});  // along the trim, past it
    draw({20, 40, 60, 2}, {1, 0, 1});  // the same within
    draw({60, 4, 2, 30}, {0, 1, 1});   // across
    draw({40, 2, 2, 6}, {0, 1, 1});    // in its direction, but past the trim alone
    filters::remove_echoes(rank, flow, area);
    CHECK(rank.row(12)[30] == 0.0F);
    CHECK(rank.row(40)[30] == 1.0F);
    CHECK(rank.row(5)[60] == 1.0F);
    CHECK(rank.row(30)[60] == 1.0F);
    CHECK(rank.row(4)[40] == 0.0F);
}
