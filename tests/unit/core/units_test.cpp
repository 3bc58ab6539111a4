// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/units.h"

#include <doctest/doctest.h>

#include "core/error.h"

using namespace paleproof;

TEST_CASE("a point is 1/72 inch and an inch is 25.4 mm") {
    // PDF and CSS; 40 CFR 211.204-2 "72 points = 1 inch"; 1 pt = 0.352778 mm (check values, section
    // 7).
    CHECK(from_points(1.0).value == doctest::Approx(0.352778).epsilon(1e-6));
    CHECK(from_points(72.0).value == doctest::Approx(25.4));
    CHECK(points(from_inches(0.5)) == doctest::Approx(36.0));
    // 6 pt = 25 px, 8 pt = 33.3 px, 12 pt = 50 px at 300 ppi (check values, section 7).
    CHECK(pixels(from_points(6.0), Ppi{300}) == doctest::Approx(25.0));
    CHECK(pixels(from_points(8.0), Ppi{300}) == doctest::Approx(33.333).epsilon(1e-4));
    CHECK(pixels(from_points(12.0), Ppi{300}) == doctest::Approx(50.0));
    // A4 at 300 ppi = 2480.31 x 3507.87 px (ISO 216; check values, section 8).
    CHECK(pixels(Mm{210}, Ppi{300}) == doctest::Approx(2480.31).epsilon(1e-5));
    CHECK(from_pixels(3507.87, Ppi{300}).value == doctest::Approx(297.0).epsilon(1e-5));
}

TEST_CASE("lengths are read with their unit") {
    CHECK(parse_length("3mm", "bleed").value == 3.0);
    CHECK(parse_length("0.125in", "bleed").value == doctest::Approx(3.175));
    CHECK(parse_length("7pt", "min_text").value == doctest::Approx(2.469444).epsilon(1e-6));
    CHECK(parse_length("1.5 cm", "margin").value == doctest::Approx(15.0));
    CHECK(parse_signed_length("-0.5mm", "back_shift").value == -0.5);
}

TEST_CASE("a length without a unit, with another unit or below zero is refused by name") {
    for (const char* text :
         {"3", "", "mm", "3 m", "3mmm", "-3mm", "nanmm", "infmm", "1e999mm", "3,5mm"}) {
        CAPTURE(text);
        try {
            (void)parse_length(text, "bleed");
            FAIL("it was taken");
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::range);
            CHECK(error.subject() == "bleed");
            CHECK(error.detail().find(std::string("got '") + text + "'") != std::string::npos);
        }
    }
}

TEST_CASE(
    "a decimal comma, capitals or a share without its sign are answered with what was meant") {
    const auto refusal = [](const auto& parse, const char* text) -> std::string {
        try {
            (void)parse(text);
        } catch (const Error& error) {
            return error.what();
        }
        return "taken";
    };
    const auto length = [](const char* text) { return parse_length(text, "bleed"); };
    const auto share = [](const char* text) { return parse_share(text, "ink_budget"); };
    const auto total = [](const char* text) { return parse_share(text, "total_limit", 4.0); };
    CHECK(refusal(length, "3,5mm").ends_with("got '3,5mm'; did you mean 3.5mm?"));
    CHECK(refusal(length, "0.5 IN").ends_with("; did you mean 0.5 in?"));
    CHECK(refusal(length, "3,5").ends_with("got '3,5'"));
    CHECK(refusal(share, "12,5%").ends_with("; did you mean 12.5%?"));
    CHECK(refusal(share, "12").ends_with("from 0% to 100%, got '12'; did you mean 12%?"));
    CHECK(refusal(share, "120").ends_with("got '120'"));
    CHECK(refusal(total, "300").ends_with("from 0% to 400%, got '300'; did you mean 300%?"));
    CHECK(total("280%") == doctest::Approx(2.8));
    CHECK(total("4") == 4.0);
    CHECK(refusal(total, "401%").ends_with("got '401%'"));
}

TEST_CASE("an error is one line, whatever the names in it") {
    const Error error(ErrorKind::file, "my\ndeck", "there is no\tsuch file");
    CHECK(std::string(error.what()) == "my deck: there is no such file");
    CHECK(error.subject() == "my\ndeck");
}

TEST_CASE("shares are read as percent or as a number from 0 to 1") {
    CHECK(parse_share("12%", "ink_budget") == doctest::Approx(0.12));
    CHECK(parse_share("0.12", "ink_budget") == doctest::Approx(0.12));
    CHECK(parse_share("100 %", "ink_budget") == 1.0);
    CHECK(parse_share("0%", "ink_budget") == 0.0);
    for (const char* text : {"12", "-1%", "101%", "12%%", "a lot", ""}) {
        CAPTURE(text);
        CHECK_THROWS_AS((void)parse_share(text, "ink_budget"), Error);
    }
}
