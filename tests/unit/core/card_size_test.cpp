// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/card_size.h"

#include <doctest/doctest.h>

#include <set>
#include <string>
#include <utility>

#include "core/error.h"

using namespace paleproof;

TEST_CASE("sizes are read by name and by measure") {
    // Common practice, no source, save id-1: ISO/IEC 7810, 85.60 x 53.98 mm.
    CHECK(parse_size("poker", "size") == SizeMm{{63.5}, {88.9}});
    CHECK(parse_size("63x88mm", "size") == SizeMm{{63}, {88}});
    CHECK(parse_size("2.5x3.5in", "size").height.value == doctest::Approx(88.9));
    CHECK(parse_size("63mm x 88mm", "size") == SizeMm{{63}, {88}});
    CHECK(parse_size("2.5in x 88.9mm", "size").width.value == doctest::Approx(63.5));
    CHECK(parse_size("id-1", "size") == SizeMm{{53.98}, {85.6}});
}

TEST_CASE("a size that means nothing is refused, with the nearest name") {
    for (const char* text :
         {"63x88", "", "x", "5x", "x5mm", "1x1mm", "900x900mm", "63x-88mm", "x88mm", "63x88x2mm"}) {
        CAPTURE(text);
        CHECK_THROWS_AS((void)parse_size(text, "size"), Error);
    }
    for (const auto& [text, meant] : {std::pair{"pocker", "poker"},
                                      {"Tarot", "tarot"},
                                      {"63*88mm", "63x88mm"},
                                      {"63X88MM", "63x88mm"},
                                      {"63x88", "63x88mm"}}) {
        CAPTURE(text);
        try {
            (void)parse_size(text, "size");
            FAIL("it was taken");
        } catch (const Error& error) {
            CHECK(error.detail().ends_with("; did you mean " + std::string(meant) + "?"));
        }
    }
}

TEST_CASE("sizes are named for people") {
    CHECK(size_text({{63.5}, {88.9}}) == "poker (63.5 x 88.9 mm)");
    CHECK(size_text({{88.9}, {63.5}}) == "poker, lying (88.9 x 63.5 mm)");
    CHECK(size_text({{61}, {91}}) == "61.0 x 91.0 mm");
    std::set<std::string> names;
    for (const NamedSize& named : named_sizes()) {
        CHECK(named.size.width <= named.size.height);
        CHECK(names.insert(std::string(named.name)).second);
    }
}
