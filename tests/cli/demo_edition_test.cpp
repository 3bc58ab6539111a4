// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The demo deck's table in fixtures/README.md says which face is to raise which finding; these
// cases hold the tool to it.
#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "cli/tool.h"

using namespace paleproof::test;

namespace {

std::set<std::string> rules_of(const nlohmann::json& face) {
    std::set<std::string> rules;
    for (const auto& finding : face.at("findings"))
        rules.insert(finding.at("rule").get<std::string>());
    return rules;
}

std::map<std::string, std::set<std::string>> rules_by_source() {
    std::map<std::string, std::set<std::string>> rules;
    const auto report = json_of(demo_edition() / "report.json");
    for (const auto& face : report.at("faces")) {
        rules[face.at("source").get<std::string>()] = rules_of(face);
    }
    return rules;
}

}  // namespace

TEST_CASE("the demo edition has every file of the contract") {
    const auto files = content_of(demo_edition());
    for (const char* name : {"pages.pdf", "sheets-letter.pdf", "sheets-a4.pdf", "report.html",
                             "report.json", "ink.csv", "edition.json", "faces/Lampwing.png",
                             "faces/Bud, and Briar.png", "faces/back-orchard.png"}) {
        CHECK_MESSAGE(files.contains(name), name);
    }
    CHECK(std::ranges::count_if(files,
                                [](const auto& f) { return f.first.starts_with("faces/"); }) == 20);
    CHECK_FALSE(std::filesystem::exists(demo_edition() / ".paleproof-new"));
}

TEST_CASE("the demo deck raises the findings that its table names") {
    const auto rules = rules_by_source();
    REQUIRE(rules.size() == 20);
    CHECK(rules.at("still-pond.png").contains("art-coarse"));
    CHECK_FALSE(rules.at("lantern-walk.png").contains("bleed-missing"));
    CHECK(rules.at("ashveil.png").contains("text-faint"));
    CHECK(rules.at("wool-thief.png").contains("text-at-edge"));
    for (const auto& [a_source, raised] : rules) {
        const auto& source = a_source;  // clang 14 captures no bindings
        CAPTURE(source);
        CHECK(raised.contains("text-small") == !source.starts_with("back-"));
        CHECK(raised.contains("art-coarse") == (source == "still-pond.png"));
        CHECK(raised.contains("bleed-missing") == (source != "lantern-walk.png"));
        CHECK_FALSE(raised.contains("size-off"));
        CHECK_FALSE(raised.contains("face-unreadable"));
        CHECK_FALSE(raised.contains("budget-missed"));
    }
}

TEST_CASE("the text of the demo deck is found and measured, and the patterned backs show no line") {
    const auto report = json_of(demo_edition() / "report.json");
    for (const auto& face : report.at("faces")) {
        const auto source = face.at("source").get<std::string>();
        CAPTURE(source);
        int lines = 0;
        double smallest = 99.0;
        for (const auto& line : face.at("text")) {
            if (line.at("kind") != "line") continue;
            ++lines;
            // Titles begin at 60 px or, beside a ribbon of 45 to 140 px with the suit on it, at
            // 172; the ribbon is no part of them.
            const auto box = line.at("box_px").get<std::vector<int>>();
            if (box[1] < 110) CHECK((box[0] < 70 || box[0] >= 165));
            smallest = std::min(smallest, line.at("point_size").get<double>());
        }
        // Places and keepers have a side label that is turned by 90 degrees, on art. KEEPER is made
        // of capitals of one width at one pitch, half of them an E.
        for (const char* place : {"lantern-walk.png", "old-pear-row.jpg", "bramble-gate.png",
                                  "keeper-of-the-ninth-row.jpg"}) {
            if (source != place) continue;
            CHECK(std::ranges::any_of(face.at("text"), [](const auto& line) {
                return line.at("kind") == "line" &&
                       line.at("quarter_turns").template get<int>() == 1;
            }));
        }
        if (source.starts_with("back-")) {
            CHECK(lines == 0);
        } else {
            CHECK(lines >= 5);
            // The collector line is drawn at 4.5 pt; sizes are known to the fonts' own spread.
            CHECK(smallest > 3.6);
            CHECK(smallest < 5.4);
        }
    }
}

TEST_CASE("every line of the demo deck is kept in the gray proofs, reversed titles included") {
    const auto report = json_of(demo_edition() / "report.json");
    int judged = 0;
    for (const auto& face : report.at("faces")) {
        CAPTURE(face.at("name"));
        CHECK_FALSE(rules_of(face).contains("text-lost"));
        for (const auto& line : face.at("text")) {
            if (line.at("kind") != "line" || line.at("confidence").get<double>() < 0.5 ||
                line.at("contrast").get<double>() < 1.5) {
                continue;
            }
            CAPTURE(line.dump());
            CHECK(line.at("kept") == true);
            ++judged;
        }
    }
    CHECK(judged > 120);
}

TEST_CASE(
    "of all colors of the demo deck, Bloom and Thorn alone are twins, in gray and for deutan "
    "eyes") {
    const auto checked = run_command(quoted(PALEPROOF_BINARY) + " check " +
                                     quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv") +
                                     " --json - 2>/dev/null");
    const auto check = nlohmann::json::parse(checked.output);
    const auto edition = json_of(demo_edition() / "report.json");
    for (const auto& report : {check, edition}) {
        const auto& twins = report.at("twins");
        REQUIRE(twins.size() == 2);
        CHECK(twins[0].at("rule") == "gray-twins");
        CHECK(twins[1].at("rule") == "vision-twins");
        CHECK(twins[1].at("vision") == "deutan");
        CHECK(twins[0].at("difference") < 0.1);  // equal within 0.02 by fixtures/README.md
        CHECK(twins[1].at("difference") < 5.4);  // 5.3 in CIELAB by the same
        for (const auto& twin : twins) {
            CHECK(twin.at("a") == "#529550");
            CHECK(twin.at("b") == "#dc5d5e");
            std::set<std::string> faces;
            for (const char* places : {"places_a", "places_b"}) {
                for (const auto& place : twin.at(places)) faces.insert(place.at("face"));
            }
            CHECK(faces.contains("Bud, and Briar"));
            CHECK(faces.size() >= 9);
        }
        std::set<std::string> rules;
        for (const auto& finding : report.at("findings")) rules.insert(finding.at("rule"));
        CHECK(rules == std::set<std::string>{"gray-twins", "vision-twins"});
        CHECK(report.at("findings").size() == 2);
    }
}

TEST_CASE("the gray proofs of the demo deck keep the suits that lightness merges apart") {
    const auto twins = json_of(demo_edition() / "report.json").at("twins");
    REQUIRE(twins.size() == 2);
    CHECK(twins[0].at("difference") < 0.1);
    CHECK(twins[0].at("map_difference") >= 10.0);
    REQUIRE(twins[0].at("proof_difference").is_number());
    CHECK(twins[0].at("proof_difference") >= 10.0);
    CHECK(twins[1].at("proof_difference").is_null());
}

TEST_CASE("pins are colors with a gray; a profile of another class is refused, each in one line") {
    const auto refused = [](const std::string& option) {
        return run_command(quoted(PALEPROOF_BINARY) + " check " +
                           quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv") + " " + option +
                           " 2>&1");
    };
    for (const char* option : {"--pins red", "--pins \"#dc5d5e=3\"", "--pins \"#808080=0.5\"",
                               "--cartridges k:20", "--cartridges kk:20/480"}) {
        CAPTURE(option);
        const auto run = refused(option);
        CHECK(run.status == 2);
        CHECK(std::ranges::count(run.output, '\n') == 1);
    }
    // A screen's profile, of Debian's ghostscript.
    const std::string screen = "/usr/share/color/icc/ghostscript/srgb.icc";
    if (!std::filesystem::exists(screen)) return;
    const auto run = refused("--separation " + screen);
    CHECK(run.status == 2);
    CHECK(run.output.find("srgb.icc") != std::string::npos);
    CHECK(run.output.find("expected the CMYK or gray output profile") != std::string::npos);
}

TEST_CASE("limits of twins are options: a lower one finds none, a higher one more") {
    const auto twins = [](const std::string& options) {
        const auto checked = run_command(quoted(PALEPROOF_BINARY) + " check " +
                                         quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv") +
                                         " --json - " + options + " 2>/dev/null");
        return nlohmann::json::parse(checked.output).at("twins").size();
    };
    CHECK(twins("--min-gray-difference 0 --vision-severity 0") == 0);
    CHECK(twins("--min-gray-difference 15 --min-vision-difference 0") > 1);
}

TEST_CASE("a total limit of 260 % is passed by the two darkest faces of the demo deck") {
    const auto checked = run_command(quoted(PALEPROOF_BINARY) + " check " +
                                     quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv") +
                                     " --total-limit 260% --json - 2>/dev/null");
    const auto report = nlohmann::json::parse(checked.output);
    std::set<std::string> heavy;
    for (const auto& face : report.at("faces")) {
        if (rules_of(face).contains("ink-heavy"))
            heavy.insert(face.at("source").get<std::string>());
    }
    CHECK(heavy == std::set<std::string>{"bramble-gate.png", "lantern-walk.png"});
}

TEST_CASE("flat borders go on flat, painted edges are continued, real bleed is kept") {
    const auto report = json_of(demo_edition() / "report.json");
    for (const auto& face : report.at("faces")) {
        const auto source = face.at("source").get<std::string>();
        const auto method = face.at("bleed").at("method");
        CAPTURE(source);
        if (source == "waiting-jar.png" || source == "sugar-and-smoke.png" ||
            source == "night-ledger.png") {
            CHECK(method.at("top") == "continue");  // the pennant crosses it
            for (const char* edge : {"right", "bottom", "left"}) {
                // The ledger's side label comes close to the right edge.
                if (source != "night-ledger.png") CHECK(method.at(edge) == "flat");
            }
        } else if (source == "lantern-walk.png") {
            for (const char* edge : {"top", "right", "bottom", "left"})
                CHECK(method.at(edge) == "present");
            CHECK(face.at("bleed").at("present_mm").at("left").get<double>() ==
                  doctest::Approx(3.175).epsilon(0.01));
        } else if (source == "lampwing.png") {
            CHECK(method.at("top") == "continue");
        }
    }
}

TEST_CASE("every gray proof of the demo deck meets the budget of 12 % and costs black alone") {
    const auto report = json_of(demo_edition() / "report.json");
    for (const auto& face : report.at("faces")) {
        const auto& ink = face.at("ink").at("proof");
        CAPTURE(face.at("name"));
        CHECK(ink.at("k").get<double>() <= 0.122);
        CHECK(ink.at("k").get<double>() > 0.01);
        CHECK(ink.at("c").get<double>() == 0.0);
        CHECK(ink.at("total").get<double>() == doctest::Approx(ink.at("k").get<double>()));
        CHECK(face.at("ink").at("source").at("total").get<double>() >
              ink.at("total").get<double>());
    }
}

TEST_CASE("report.json is valid under docs/report.schema.json") {
    // Outside: Debian's python3-jsonschema, JSON Schema 2020-12.
    const std::string script =
        "import json,sys,jsonschema; s=json.load(open(sys.argv[1])); "
        "jsonschema.Draft202012Validator.check_schema(s); "
        "jsonschema.Draft202012Validator(s).validate(json.load(open(sys.argv[2])))";
    const auto result =
        run_command("/usr/bin/python3 -c " + quoted(script) + " " +
                    quoted(std::string(PALEPROOF_ROOT) + "/docs/report.schema.json") + " " +
                    quoted((demo_edition() / "report.json").string()));
    CHECK_MESSAGE(result.status == 0, result.output);
}

TEST_CASE("the same deck gives the same bytes with 1, 2, 4 and 8 threads") {
    const Scratch scratch("threads");
    const std::string source = quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv");
    const auto first = content_of(demo_edition());
    for (const std::string threads : {"1", "2", "4", "8"}) {
        CAPTURE(threads);
        const auto made = run_tool("make " + source + " --threads " + threads + " -o " +
                                   quoted((scratch / threads).string()));
        CHECK((made.status == 0 || made.status == 3));
        const auto found = content_of(scratch / threads);
        REQUIRE(found.size() == first.size());
        for (const auto& [a_name, a_content] : first) {
            const auto& name = a_name;  // clang 14 captures no bindings
            const auto& content = a_content;
            CHECK_MESSAGE((content == found.at(name)), name, " differs");
        }
    }
}

TEST_CASE("every finding about text has its crop in the report, of its own place") {
    const auto report = json_of(demo_edition() / "report.json");
    const std::string page = content_of(demo_edition()).at("report.html");
    struct Crop {
        double x, y, width, height;
    };
    std::map<std::string, std::vector<Crop>> crops;
    const std::regex shape(R"re(data-face="(face-\d+)" data-crop="(\d+) (\d+) (\d+) (\d+)")re");
    for (std::sregex_iterator at(page.begin(), page.end(), shape), end; at != end; ++at) {
        const auto number = [&](std::size_t i) { return std::stod((*at)[i].str()); };
        crops[(*at)[1].str()].push_back({number(2), number(3), number(4), number(5)});
    }
    int looked_at = 0;
    std::size_t index = 0;
    for (const auto& face : report.at("faces")) {
        const auto& of_face = crops["face-" + std::to_string(++index)];
        for (const auto& finding : face.at("findings")) {
            const auto rule = finding.at("rule").get<std::string>();
            if (!rule.starts_with("text-")) continue;
            CAPTURE(face.at("name").get<std::string>());
            CAPTURE(rule);
            REQUIRE(finding.contains("box_px"));
            const auto box = finding.at("box_px").get<std::vector<double>>();
            CAPTURE(finding.at("box_px").dump());
            const double x = box.at(0) + box.at(2) / 2, y = box.at(1) + box.at(3) / 2;
            CHECK(std::ranges::any_of(of_face, [&](const Crop& crop) {
                return crop.x <= x && x <= crop.x + crop.width && crop.y <= y &&
                       y <= crop.y + crop.height && crop.x + crop.width <= face.at("width_px") &&
                       crop.y + crop.height <= face.at("height_px");
            }));
            ++looked_at;
        }
    }
    CHECK(looked_at >= 18);  // each of the 18 fronts has text under 6 pt
}

TEST_CASE("loops compiled for wider lanes give the bytes of those for any processor") {
    // Says nothing on a processor without AVX2, where there is but one of the two.
    const Scratch scratch("lanes");
    std::string wide_tint;
    const std::string source = quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv");
    for (const std::string style : {"gray", "line", "tint"}) {
        CAPTURE(style);
        for (const std::string lanes : {"wide", "plain"}) {
            const std::string set = lanes == "plain" ? "PALEPROOF_PLAIN=1 " : "";
            const auto made =
                run_command(set + quoted(PALEPROOF_BINARY) + " make " + source + " --style " +
                            style + " -o " + quoted((scratch / (style + lanes)).string()));
            CHECK((made.status == 0 || made.status == 3));
        }
        const auto wide = content_of(scratch / (style + "wide"));
        CHECK(wide.size() > 20);
        if (style == "tint") wide_tint = wide.at("report.json");
        CHECK((wide == content_of(scratch / (style + "plain"))));
    }
    // The picture takes what the text leaves of the budget (30 % over all inks): it is there.
    const auto tint = nlohmann::json::parse(wide_tint);
    for (const auto& face : tint.at("faces")) {
        CAPTURE(face.at("name"));
        CHECK(face.at("ink").at("proof").at("total").get<double>() > 0.25);
    }
}
