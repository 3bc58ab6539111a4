// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Faces that no style was made for: each must give a sensible proof in bounded time.
#include <doctest/doctest.h>

#include <algorithm>
#include <ctime>
#include <string>
#include <utility>
#include <vector>

#include "app/styles.h"
#include "color/separation.h"
#include "filters/gray.h"
#include "filters/lighten.h"
#include "support/pictures.h"

using namespace paleproof;
using app::Style;

namespace {

constexpr int width = 375;  // 2.5 x 3.5 in at 150 ppi: small, so that the test is quick
constexpr int height = 525;

Image face_of(Encoding encoding) { return Image(width, height, encoding, Ppi{150}); }

Image noise(Encoding encoding, std::uint32_t seed) {
    Image face = test::noise(width, height, encoding, seed);
    face.set_ppi(Ppi{150});
    return face;
}

Image filled(Encoding encoding, std::uint8_t code) {
    Image face = face_of(encoding);
    std::ranges::fill(face.bytes(), code);
    return face;
}

/// From black at the top left to full color at the bottom right.
Image gradient() {
    Image face = face_of(Encoding::srgb);
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            face.row(y)[3 * x] = static_cast<std::uint8_t>(255 * x / (width - 1));
            face.row(y)[3 * x + 1] = static_cast<std::uint8_t>(255 * y / (height - 1));
            face.row(y)[3 * x + 2] = static_cast<std::uint8_t>(128 * (x + y) / (width + height));
        }
    }
    return face;
}

/// A face whose transparent holes were put on paper white when it was read.
Image with_holes() {
    Image face = gradient();
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            const int dx = x % 125 - 62;
            const int dy = y % 125 - 62;
            if (dx * dx + dy * dy < 40 * 40) std::fill_n(face.row(y) + 3 * x, 3, std::uint8_t{255});
        }
    }
    return face;
}

std::vector<std::pair<std::string, Image>> odd_faces() {
    return {{"all black", filled(Encoding::srgb, 0)},
            {"all white", filled(Encoding::srgb, 255)},
            {"all black, 1 bit", filled(Encoding::bilevel, 0)},
            {"gradient", gradient()},
            {"noise in color", noise(Encoding::srgb, 7)},
            {"noise, 1 bit", noise(Encoding::bilevel, 8)},
            {"gray", filters::gray(with_holes())},
            {"transparent holes", with_holes()},
            {"one pixel", Image(1, 1, Encoding::srgb, Ppi{150})}};
}

double processor_s() {
    timespec t{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

}  // namespace

TEST_CASE("odd faces keep their ink budget in every style, in bounded time") {
    const auto inks = color::Separation::uncoated();
    for (const auto& [a_name, face] : odd_faces()) {
        const auto& name = a_name;  // clang 14 captures no bindings
        for (const Style style : {Style::gray, Style::tint, Style::line, Style::hatch}) {
            CAPTURE(name);
            CAPTURE(static_cast<int>(style));
            const double budget = style == Style::tint ? 0.30 : 0.08;
            const double start = processor_s();
            const Image proof = app::styled_proof(
                {.source = face, .trimmed = face.bounds(), .ink_budget = budget, .inks = &inks},
                style);
            CHECK(processor_s() - start < 10.0);  // a tenth of a second, but for sanitizers
            const double taken = style == Style::tint
                                     ? inks.ink(proof, proof.bounds(), proof.ppi()).total
                                     : filters::coverage(filters::gray(proof), proof.bounds());
            CHECK(taken <= budget + 0.002);
            const int scale = app::is_drawn(style) ? 4 : 1;  // 600 ppi
            CHECK(proof.width() == scale * face.width());
            CHECK(proof.height() == scale * face.height());
        }
    }
}

TEST_CASE("paper white stays paper white in every style") {
    const auto inks = color::Separation::uncoated();
    const Image white = filled(Encoding::srgb, 255);
    for (const Style style : {Style::gray, Style::tint, Style::line, Style::hatch}) {
        const Image proof = app::styled_proof(
            {.source = white, .trimmed = white.bounds(), .ink_budget = 0.08, .inks = &inks}, style);
        CHECK(std::ranges::all_of(proof.bytes(), [](std::uint8_t c) { return c == 255; }));
    }
    // The middles of the holes, away from their edges, whose shade lies outside.
    const Image holes = with_holes();
    const Image gray = app::gray_proof(
        {.source = holes, .trimmed = holes.bounds(), .ink_budget = 0.12, .inks = &inks});
    for (int y = 62; y < height; y += 125) {
        for (int x = 62; x < width; x += 125) CHECK(gray.row(y)[x] == 255);
    }
}

TEST_CASE("no gray proof is darker than its source anywhere but in text") {
    const auto inks = color::Separation::uncoated();
    for (const auto& [a_name, face] : odd_faces()) {
        const auto& name = a_name;  // clang 14 captures no bindings
        CAPTURE(name);
        const Image plain = filters::gray(face);
        for (const double budget : {0.02, 0.12, 0.5, 1.0}) {
            const Image proof = app::gray_proof(
                {.source = face, .trimmed = face.bounds(), .ink_budget = budget, .inks = &inks});
            REQUIRE(proof.size() == plain.size());
            int darker = 0;
            for (std::size_t i = 0; i < plain.bytes().size(); ++i) {
                darker += proof.bytes()[i] < plain.bytes()[i] ? 1 : 0;
            }
            CHECK(darker == 0);
        }
    }
}
