// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/paper.h"

#include <doctest/doctest.h>

#include "core/error.h"

using namespace paleproof;
using namespace paleproof::sheet;

TEST_CASE("A sizes follow from ISO 216: one square meter, sides as 1 to the root of 2, halved") {
    // ISO 216:2007: A0 is 841 x 1189 mm; each size is the one before cut across, rounded down.
    int width = 841;
    int height = 1189;
    for (int n = 0; n <= 4; ++n) {
        CAPTURE(n);
        if (n >= 3) {
            const Paper paper = parse_paper(n == 3 ? "A3" : "A4", "papers");
            CHECK(paper.size.width.value == width);
            CHECK(paper.size.height.value == height);
        }
        const int half = height / 2;
        height = width;
        width = half;
    }
}

TEST_CASE("American sizes are whole and half inches") {
    // ANSI/ASME Y14.1, sizes A and B; Legal is common practice, no source. From memory.
    const struct {
        const char* name;
        double width_in, height_in;
    } table[] = {{"letter", 8.5, 11.0}, {"legal", 8.5, 14.0}, {"tabloid", 11.0, 17.0}};
    for (const auto& row : table) {
        CAPTURE(std::string(row.name));
        const Paper paper = parse_paper(row.name, "papers");
        CHECK(inches(paper.size.width) == doctest::Approx(row.width_in));
        CHECK(inches(paper.size.height) == doctest::Approx(row.height_in));
    }
}

TEST_CASE("names are found in any case, and a measure may carry any unit") {
    CHECK(parse_paper("LETTER", "papers").name == "Letter");
    CHECK(parse_paper(" a4 ", "papers").name == "A4");
    CHECK(parse_paper("A3", "papers").name == "A3");
    const Paper measured = parse_paper("200x300mm", "papers");
    CHECK(measured.size.width.value == 200.0);
    CHECK(measured.size.height.value == 300.0);
    CHECK(paper_slug(measured) == "200x300mm");
    CHECK(parse_paper("12 x 18in", "papers").size.width.value == doctest::Approx(304.8));
    CHECK(parse_paper("20cmx300mm", "papers").size.height.value == 300.0);
}

TEST_CASE("a measure that has a name gets it, and a lying one is stood upright") {
    CHECK(parse_paper("8.5x11in", "papers").name == "Letter");
    CHECK(parse_paper("297x210mm", "papers").name == "A4");
    CHECK(paper_slug(parse_paper("420mmx297mm", "papers")) == "a3");
}

TEST_CASE("a paper that is not one is refused, with the nearest name") {
    const auto fault = [](const char* text) {
        try {
            (void)parse_paper(text, "papers");
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::range);
            CHECK(error.subject() == "papers");
            return error.detail();
        }
        return std::string("accepted");
    };
    CHECK(fault("leter").find("did you mean letter?") != std::string::npos);
    CHECK(fault("200x300").find("got '200x300'") != std::string::npos);
    CHECK(fault("10x10mm").find("50 mm to 2000 mm") != std::string::npos);
    CHECK(fault("210x99999mm").find("50 mm to 2000 mm") != std::string::npos);
    CHECK(fault("") != "accepted");
    CHECK(fault("x") != "accepted");
    CHECK(fault("200x") != "accepted");
    CHECK(fault("-200x300mm") != "accepted");
    CHECK(fault("1e9x1e9mm") != "accepted");
    CHECK(fault("nanxnanmm") != "accepted");
}
