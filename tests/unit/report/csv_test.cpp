// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/csv.h"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "unit/report/outside.h"
#include "unit/report/sample_edition.h"

using namespace paleproof;
using report::ink_csv;

namespace {

/// The rows as Python's csv module reads them in its strict mode, a reader that is not ours.
nlohmann::json rows_of(const std::string& csv) {
    const test::CommandResult result = test::python_on(R"(
import csv, json, sys
with open(sys.argv[1], newline="", encoding="utf-8") as file:
    print(json.dumps(list(csv.reader(file, strict=True))))
)",
                                                       csv);
    REQUIRE_MESSAGE(result.status == 0, result.output);
    return nlohmann::json::parse(result.output);
}

FaceResult face_named(const std::string& name) {
    FaceResult face;
    face.name = name;
    face.source = "a.png";
    face.placement.trim = {{63.0}, {88.0}};
    face.copies = 2;
    face.source_ink = InkUse{0.25, 0.5, 0.125, 0.1, 0.975, 2.5, {}};
    face.proof_ink = InkUse{0, 0, 0, 0.195, 0.195, 0.9, {}};
    return face;
}

}  // namespace

TEST_CASE("ink.csv has a row for each face and one for the deck, all of the header's length") {
    const auto rows = rows_of(ink_csv(report_sample::sample_edition()));
    REQUIRE(rows.size() == 10);
    for (const auto& row : rows) {
        CHECK(row.size() == rows[0].size());
    }
    CHECK(rows[0][0] == "row");
    CHECK(rows[1][1] == "Lantern Row");
    CHECK(rows[7][1] == "Late Frost");
    CHECK(rows[7][11] == "");  // not readable: no ink
    CHECK(rows[9][0] == "deck");
    CHECK(rows[9][3] == "20");
}

TEST_CASE("ink.csv gives coverage as shares, solid ink in cm2, and sums over all copies") {
    EditionResult edition;
    edition.title = "Night Orchard";
    edition.faces = {face_named("a"), face_named("b")};
    const auto rows = rows_of(ink_csv(edition));
    CHECK(
        rows[1] ==
        nlohmann::json({"face",    "a",       "a.png",   "2",       "2",       "63.000",  "88.000",
                        "0.25000", "0.50000", "0.12500", "0.10000", "0.97500", "2.50000",
                        "108.108",  // 0.975 * 6.3 cm * 8.8 cm * 2
                        "0.00000", "0.00000", "0.00000", "0.19500", "0.19500", "0.90000",
                        "21.622",      // 0.195 * 55.44 * 2
                        "0.80000"}));  // 1 - 0.195 / 0.975
    CHECK(rows[3][0] == "deck");
    CHECK(rows[3][4] == "4");
    CHECK(rows[3][11] == "0.97500");
    CHECK(rows[3][13] == "216.216");
    CHECK(rows[3][20] == "43.243");
    CHECK(rows[3][21] == "0.80000");
}

TEST_CASE("names with commas, quotes and line breaks come back as they were") {
    for (const std::string name : {"a, b", "the \"Last\" Lamp", "two\nlines", "two\r\nlines", "",
                                   " spaces ", "夜の果樹園"}) {
        CAPTURE(name);
        EditionResult edition;
        edition.faces = {face_named(name)};
        CHECK(rows_of(ink_csv(edition))[1][1] == name);
    }
}

TEST_CASE("a name that a spreadsheet would run as a formula is led by an apostrophe") {
    for (const std::string name : {"=1+1", "+1", "-1", "@SUM(A1)", "\t=1"}) {
        CAPTURE(name);
        EditionResult edition;
        edition.title = name;
        edition.faces = {face_named(name)};
        const auto rows = rows_of(ink_csv(edition));
        CHECK(rows[1][1] == "'" + name);
        CHECK(rows[2][1] == "'" + name);
    }
    EditionResult edition;
    edition.faces = {face_named("more ink")};
    edition.faces[0].proof_ink->total = 1.95;
    CHECK(rows_of(ink_csv(edition))[1][21] == "-1.00000");  // a number stays a number
}

TEST_CASE("every line of ink.csv ends with CR LF and an edition without faces has two") {
    const std::string csv = ink_csv({});
    CHECK(rows_of(csv).size() == 2);
    std::size_t lines = 0;
    for (std::size_t at = 0; (at = csv.find('\n', at)) != std::string::npos; ++at) {
        CHECK(csv[at - 1] == '\r');
        ++lines;
    }
    CHECK(lines == 2);
}
