// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/palette.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>

#include "core/error.h"

using namespace paleproof;
using namespace paleproof::survey;

namespace {

void fill(Image& image, RectPx box, color::Rgb8 c) {
    for (int y = box.y; y < box.bottom(); ++y) {
        for (int x = box.x; x < box.right(); ++x) {
            std::uint8_t* p = image.row(y) + 3 * x;
            p[0] = c.r;
            p[1] = c.g;
            p[2] = c.b;
        }
    }
}

const ColorArea* area_of(const Palette& palette, color::Rgb8 c) {
    const auto found = std::ranges::find_if(palette.areas, [&](const ColorArea& a) {
        return std::abs(a.color.r - c.r) < 3 && std::abs(a.color.g - c.g) < 3 &&
               std::abs(a.color.b - c.b) < 3;
    });
    return found == palette.areas.end() ? nullptr : &*found;
}

constexpr color::Rgb8 red{190, 60, 60}, blue{60, 90, 170}, sand{230, 220, 190};

}  // namespace

TEST_CASE("panel, symbol and frame are found with color, place, area and kind") {
    Image face(744, 1040, Encoding::srgb, Ppi{300});
    fill(face, face.bounds(), blue);  // stays as a frame of 30 px
    fill(face, {30, 30, 684, 980}, sand);
    fill(face, {100, 120, 60, 80}, red);
    const Palette found = palette(face, face.bounds(), face.ppi(), {});
    REQUIRE(found.areas.size() == 3);

    const ColorArea* panel = area_of(found, sand);
    REQUIRE(panel != nullptr);
    CHECK(panel->kind == AreaKind::panel);
    CHECK(panel->box_px == RectPx{30, 30, 684, 980});
    CHECK(panel->area == doctest::Approx(684.0 * 980 - 60 * 80).epsilon(0.01));
    CHECK(panel->share == doctest::Approx(panel->area / (744.0 * 1040)));

    const ColorArea* symbol = area_of(found, red);
    REQUIRE(symbol != nullptr);
    CHECK(symbol->kind == AreaKind::symbol);
    CHECK(symbol->box_px == RectPx{100, 120, 60, 80});
    CHECK(symbol->core_px.width == 60);
    CHECK(intersection(symbol->core_px, symbol->box_px) == symbol->core_px);

    const ColorArea* border = area_of(found, blue);
    REQUIRE(border != nullptr);
    CHECK(border->kind == AreaKind::border);
    CHECK(found.touches.size() == 2);  // the panel with both others
}

TEST_CASE("what runs softly into its surroundings is no color area") {
    Image face(744, 1040, Encoding::srgb, Ppi{300});
    for (int y = 0; y < face.height(); ++y) {
        const auto v = static_cast<std::uint8_t>(y * 255 / face.height());
        fill(face, {0, y, face.width(), 1}, {v, static_cast<std::uint8_t>(v / 2), 200});
    }
    CHECK(palette(face, face.bounds(), face.ppi(), {}).areas.empty());
}

TEST_CASE("noise has no color areas") {
    Image face(744, 1040, Encoding::srgb, Ppi{300});
    std::uint32_t state = 12345;
    for (std::uint8_t& value : face.bytes()) {
        state = state * 1664525U + 1013904223U;
        value = static_cast<std::uint8_t>(state >> 24U);
    }
    const Palette found = palette(face, face.bounds(), face.ppi(), {});
    CHECK(found.areas.empty());
    CHECK(found.neighbors.size() > 1000);
    CHECK(found.neighbors.size() <= most_neighbors);
}

TEST_CASE("one color is one panel without neighbors that differ, whatever the size") {
    for (const SizePx size : {SizePx{1, 1}, SizePx{2, 3}, SizePx{17, 5}, SizePx{744, 1040}}) {
        CAPTURE(size.width);
        Image face(size.width, size.height, Encoding::srgb, Ppi{300});
        fill(face, face.bounds(), red);
        const Palette found = palette(face, face.bounds(), face.ppi(), {});
        CHECK(found.areas.size() == (size.width == 744 ? 1 : 0));
        CHECK(found.neighbors.empty());
        CHECK(found.touches.empty());
    }
}

TEST_CASE("the holes of letters are no areas, the letters' color is one") {
    Image face(744, 1040, Encoding::srgb, Ppi{300});
    fill(face, face.bounds(), sand);
    for (int i = 0; i < 8; ++i) fill(face, {100 + 30 * i, 100, 22, 40}, red);
    TextLine line;
    line.box_px = {100, 98, 232, 44};
    line.confidence = 0.9;
    line.text_color = {red.r, red.g, red.b};
    line.ground_color = {sand.r, sand.g, sand.b};
    const Palette found = palette(face, face.bounds(), face.ppi(), {&line, 1});
    REQUIRE(found.areas.size() == 2);
    CHECK(found.areas[1].kind == AreaKind::text);
    CHECK(found.areas[1].color == red);
    CHECK(found.areas[1].area == doctest::Approx(8 * 22 * 40).epsilon(0.06));
}

TEST_CASE("gray and bilevel faces have areas too, and a trim outside of the face is refused") {
    Image face(300, 300, Encoding::gray, Ppi{300});
    for (int y = 0; y < 150; ++y) std::fill_n(face.row(y), 300, std::uint8_t{90});
    CHECK(palette(face, face.bounds(), face.ppi(), {}).areas.size() == 2);
    CHECK_THROWS_AS((void)palette(face, RectPx{0, 0, 301, 300}, face.ppi(), {}), Error);
}
