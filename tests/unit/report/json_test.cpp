// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/json.h"

#include <doctest/doctest.h>

#include <limits>
#include <nlohmann/json.hpp>
#include <string>

#include "core/error.h"
#include "unit/report/outside.h"
#include "unit/report/sample_edition.h"

using namespace paleproof;
using report::report_json;
using report_sample::checked_edition;
using report_sample::sample_edition;

namespace {

/// Validates against docs/report.schema.json with python3-jsonschema, an implementation of JSON
/// Schema 2020-12 that is not ours; says "valid", or what is wrong.
std::string verdict(const std::string& json) {
    const test::CommandResult result = test::python_on(R"(
import json, sys
import jsonschema
schema = json.load(open(sys.argv[2] + "/docs/report.schema.json", encoding="utf-8"))
validator = jsonschema.Draft202012Validator
validator.check_schema(schema)
document = json.load(open(sys.argv[1], encoding="utf-8"))
errors = [e.json_path + ": " + e.message for e in validator(schema).iter_errors(document)]
print("\n".join(errors) if errors else "valid", end="")
)",
                                                       json);
    return result.output;
}

}  // namespace

TEST_CASE("report.json of every kind of edition is valid by its schema") {
    CHECK(verdict(report_json(sample_edition())) == "valid");
    CHECK(verdict(report_json(checked_edition())) == "valid");
    CHECK(verdict(report_json(report_sample::large_edition(54))) == "valid");
    CHECK(verdict(report_json({})) == "valid");
}

TEST_CASE("report.json of names that are no UTF-8 is valid JSON with replacement characters") {
    EditionResult edition = sample_edition();
    edition.title = "Night\xFF Orchard \xC3";
    edition.faces.front().name = "\xED\xA0\x80 surrogate, \xC0\xAF overlong";
    const std::string json = report_json(edition);
    CHECK(verdict(json) == "valid");
    // U+FFFD for each byte that is no part of a character (Unicode 15, section 3.9).
    CHECK(nlohmann::json::parse(json)["deck"]["title"] == "Night\uFFFD Orchard \uFFFD");
}

TEST_CASE("the schema refuses what the contract does not allow") {
    using Json = nlohmann::ordered_json;
    const Json good = Json::parse(report_json(sample_edition()));
    const auto refused = [&](const char* pointer, const Json& value) {
        Json bad = good;
        bad[Json::json_pointer(pointer)] = value;
        return verdict(bad.dump()) != "valid";
    };
    CHECK(refused("/faces/0/ink/source/k", 21));  // percent instead of a share
    CHECK(refused("/faces/0/findings/0/rule", "text-tiny"));
    CHECK(refused("/faces/0/findings/1/box_px", Json::array({1, 2, 3})));
    CHECK(refused("/faces/0/findings/1/box_px", Json::array({1.5, 2, 3, 4})));
    CHECK(refused("/faces/0/surprise", 1));
    CHECK(refused("/faces/0/trim_mm", nullptr));
    CHECK(refused("/twins/0/a", "red"));
    CHECK(refused("/deck/findings/error", -1));
    CHECK(refused("/version", 2));
    Json incomplete = good;
    incomplete["deck"].erase("cost");
    CHECK(verdict(incomplete.dump()) != "valid");
}

TEST_CASE("report.json holds what the edition holds") {
    const auto json = nlohmann::json::parse(report_json(sample_edition()));
    CHECK(json["tool"]["name"] == "paleproof");
    CHECK(json["deck"]["title"] == "Night Orchard");
    CHECK(json["deck"]["faces"] == 8);
    CHECK(json["deck"]["cards"] == 20);
    CHECK(json["deck"]["findings"] == nlohmann::json({{"error", 4}, {"warning", 10}, {"note", 2}}));
    CHECK(json["deck"]["cost"]["saved"] == doctest::Approx(12.75));
    const auto& face = json["faces"][0];
    CHECK(face["trim_mm"] == nlohmann::json({63.0, 88.0}));
    CHECK(face["ink"]["source"]["total"] == 1.65);
    CHECK(face["ink"]["saved"] == doctest::Approx(1.0 - 0.14133 / 1.65).epsilon(1e-5));
    CHECK(face["bleed"]["method"]["bottom"] == "stretch");
    CHECK(face["back"] == "Orchard back");
    CHECK(face["text"][4]["kept"] == false);
    CHECK(json["faces"][6]["readable"] == false);
    CHECK(json["faces"][6]["ink"].is_null());
    CHECK(json["faces"][7]["copies"] == 0);
    CHECK(json["faces"][7]["back"].is_null());
    CHECK(json["sheets"][0]["file"] == "sheets-letter.pdf");
    CHECK(json["twins"][1]["rule"] == "vision-twins");
}

TEST_CASE("the deck's ink is the mean over the area of all printed sides") {
    EditionResult edition;
    FaceResult card;
    card.name = "card";
    card.copies = 3;
    card.back = "back";
    card.placement.trim = {{50.0}, {100.0}};
    card.source_ink = InkUse{0.1, 0.2, 0.3, 0.4, 1.0, 2.0, {}};
    card.proof_ink = InkUse{0, 0, 0, 0.2, 0.2, 0.5, {}};
    FaceResult back = card;
    back.name = "back";
    back.copies = 0;
    back.back.clear();
    back.source_ink = InkUse{0.5, 0.5, 0.5, 0.5, 2.0, 3.0, {}};
    FaceResult large = card;
    large.name = "large";
    large.copies = 1;
    large.back.clear();
    large.placement.trim = {{100.0}, {150.0}};
    large.source_ink = InkUse{0, 0, 0, 0, 0, 0, {}};
    large.proof_ink = large.source_ink;
    edition.faces = {card, back, large};
    const auto json = nlohmann::json::parse(report_json(edition));
    // Sides of 50 cm2, 3 fronts and 3 backs, and one of 150 cm2 without ink: by hand
    // (3 * 50 * 1 + 3 * 50 * 2 + 150 * 0) / 450 = 1, and (6 * 50 * 0.2) / 450 = 0.13333.
    CHECK(json["faces"][0]["printed"] == 3);
    CHECK(json["faces"][1]["printed"] == 3);
    CHECK(json["deck"]["ink"]["source"]["total"] == 1.0);
    CHECK(json["deck"]["ink"]["proof"]["total"] == 0.13333);
    CHECK(json["deck"]["ink"]["source"]["peak"] == 3.0);
    CHECK(json["deck"]["ink"]["saved"] == 0.86667);
}

TEST_CASE("the same edition gives the same bytes, rounded to the digits that are documented") {
    EditionResult edition = sample_edition();
    CHECK(report_json(edition) == report_json(sample_edition()));
    edition.faces.front().source_ink->k = 0.123456789;
    edition.faces.front().bleed_present.top = {-1e-9};
    const std::string json = report_json(edition);
    CHECK(json.find("\"k\": 0.12346,") != std::string::npos);
    CHECK(json.find("-0.0") == std::string::npos);
    CHECK(json.back() == '\n');
}

TEST_CASE("a number that is not finite is refused by name") {
    EditionResult edition = sample_edition();
    edition.faces.front().source_ink->peak = std::numeric_limits<double>::quiet_NaN();
    try {
        (void)report_json(edition);
        FAIL("expected an Error");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::internal);
        CHECK(error.subject() == "peak coverage");
    }
}
