// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/format.h"

#include <doctest/doctest.h>

#include <array>
#include <clocale>
#include <cstddef>
#include <string>

using namespace paleproof;

TEST_CASE("numbers have a point and a fixed count of digits in every locale") {
    const std::string before = std::setlocale(LC_ALL, nullptr);
    for (const char* locale : {"C", "de_DE.UTF-8", "fr_FR.UTF-8"}) {
        std::setlocale(LC_ALL, locale);
        CHECK(fixed(1234.5678, 2) == "1234.57");
        CHECK(fixed(-0.001, 2) == "0.00");
        CHECK(fixed(-0.01, 2) == "-0.01");
        CHECK(percent(0.1234) == "12.3 %");
        CHECK(millimeters(Mm{63.5}) == "63.5 mm");
        CHECK(millimeters(Mm{88.0}) == "88 mm");
        CHECK(millimeters(Mm{3.175}) == "3.17 mm");
    }
    std::setlocale(LC_ALL, before.c_str());
}

TEST_CASE("hexadecimal digits have zeros in front, small or capital letters") {
    // C++20, [format.string.std]: the presentation types x and X.
    CHECK(hex(0, 2) == "00");
    CHECK(hex(255, 4) == "00ff");
    CHECK(upper_hex(0xABC, 4) == "0ABC");
    CHECK(hex(0xFEDCBA9876543210ULL, 16) == "fedcba9876543210");
}

TEST_CASE("counts have the word for one or for many") {
    CHECK(counted(1, "face", "faces") == "1 face");
    CHECK(counted(0, "face", "faces") == "0 faces");
    CHECK(counted(std::size_t{12}, "copy", "copies") == "12 copies");
}

TEST_CASE("lower case is that of ASCII, whatever the locale; other bytes stay") {
    const std::string before = std::setlocale(LC_ALL, nullptr);
    std::setlocale(LC_ALL, "de_DE.ISO-8859-1");
    CHECK(lower_case("AbZ-9 \xC4\xD6") == "abz-9 \xC4\xD6");
    std::setlocale(LC_ALL, before.c_str());
}

TEST_CASE("the nearest word is found for a slip and none for another word") {
    constexpr std::array<std::string_view, 4> words{"papers", "layout", "margin", "gutter"};
    CHECK(nearest_word("paper", words) == "papers");
    CHECK(nearest_word("gutters", words) == "gutter");
    CHECK(nearest_word("magrin", words) == "margin");
    CHECK(nearest_word("xyzzyxyz", words).empty());
    CHECK(nearest_word("MARGIN", words) == "margin");
    // Two letters that changed places are one slip.
    constexpr std::array<std::string_view, 2> options{"--title", "--style"};
    CHECK(nearest_word("--sytle", options) == "--style");
}
