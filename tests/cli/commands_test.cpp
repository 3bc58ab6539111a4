// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "cli/tool.h"

using namespace paleproof::test;

namespace {

bool says(const CommandResult& result, const std::string& part) {
    return result.output.find(part) != std::string::npos;
}

std::string demo_list() { return quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv"); }

}  // namespace

TEST_CASE("check writes nothing but what it is asked for") {
    const Scratch scratch("check");
    const auto before = content_of(PALEPROOF_DEMO_DECK).size();
    const auto checked =
        run_tool("check " + demo_list() + " --json " + quoted((scratch / "c.json").string()));
    CHECK((checked.status == 0 || checked.status == 3));
    CHECK(says(checked, "20 faces"));
    CHECK(says(checked, "art-coarse"));
    CHECK(content_of(PALEPROOF_DEMO_DECK).size() == before);
    const auto json = json_of(scratch / "c.json");
    CHECK(json.at("faces").size() == 20);
    CHECK(json.at("faces")[0].at("ink").at("source").at("total").get<double>() > 0.2);
    const auto out =
        run_command(quoted(PALEPROOF_BINARY) + " check " + demo_list() + " --json - 2>/dev/null");
    CHECK(nlohmann::json::parse(out.output) == json);
    // Without JSON the survey leaves out what no finding needs; it finds the same.
    CHECK(json.at("faces")[1].at("symbols").size() > 0);
    // Progress, on stderr, hangs on the time that it takes.
    const auto summary = [](const std::string& options) {
        return run_command(quoted(PALEPROOF_BINARY) + " check " + demo_list() + options +
                           " 2>/dev/null")
            .output;
    };
    CHECK(summary("") == summary(" --json " + quoted((scratch / "c.json").string())));
}

TEST_CASE("style color keeps the pixels of a face that has its card's shape") {
    // Outside: ImageMagick compares the decoded pixels.
    const Scratch scratch("color");
    std::filesystem::create_directories(scratch / "cards");
    std::filesystem::copy(std::string(PALEPROOF_DEMO_DECK) + "/lampwing.png", scratch / "cards");
    const auto made = run_tool("make " + quoted((scratch / "cards").string()) +
                               " --style color --bleed 0mm --papers a4");
    REQUIRE((made.status == 0 || made.status == 3));
    const auto same = run_command(
        "compare -metric AE " + quoted((scratch / "cards/lampwing.png").string()) + " " +
        quoted((scratch / "cards-edition/faces/lampwing.png").string()) + " null:");
    CHECK_MESSAGE(same.output == "0", same.output);
}

TEST_CASE("ink budget 100 % is the gray alone, and a smaller budget is met") {
    const Scratch scratch("budget");
    std::filesystem::create_directories(scratch / "cards");
    std::filesystem::copy(std::string(PALEPROOF_DEMO_DECK) + "/lampwing.png", scratch / "cards");
    const std::string cards = quoted((scratch / "cards").string());
    const auto k = [&](const std::string& budget) {
        const auto made = run_tool("make " + cards + " --ink-budget " + budget +
                                   " --papers a4 -o " + quoted((scratch / "out").string()));
        REQUIRE_MESSAGE((made.status == 0 || made.status == 3), made.output);
        return json_of(scratch / "out/report.json")
            .at("faces")[0]
            .at("ink")
            .at("proof")
            .at("k")
            .get<double>();
    };
    CHECK(k("100%") > 0.5);
    const double eight = k("8%");
    CHECK(eight <= 0.082);
    CHECK(eight > 0.07);
}

TEST_CASE("sheets imposes an edition again for another paper and removes the old sheets") {
    const Scratch scratch("sheets");
    std::filesystem::copy(demo_edition(), scratch / "edition",
                          std::filesystem::copy_options::recursive);
    const std::string edition = quoted((scratch / "edition").string());
    const auto again =
        run_tool("sheets " + edition + " --papers tabloid --gutter 6mm --duplex long-edge");
    REQUIRE_MESSAGE(again.status == 0, again.output);
    CHECK(says(again, "sheets-tabloid.pdf"));
    const auto files = content_of(scratch / "edition");
    CHECK(files.contains("sheets-tabloid.pdf"));
    CHECK_FALSE(files.contains("sheets-a4.pdf"));
    CHECK_FALSE(files.contains("sheets-letter.pdf"));
    CHECK((files.at("pages.pdf") == content_of(demo_edition()).at("pages.pdf")));
    // The settings stay with the edition: imposing once more without options changes nothing.
    REQUIRE(run_tool("sheets " + edition).status == 0);
    CHECK((content_of(scratch / "edition") == files));
    // So does a fold, which goes with no duplex.
    REQUIRE(run_tool("sheets " + edition + " --duplex none --layout fold").status == 0);
    const auto both = run_tool("sheets " + edition + " --duplex long-edge");
    CHECK(both.status == 2);
    CHECK(says(both, "choose the layout grid, or duplex none"));
    REQUIRE(run_tool("sheets " + edition + " --layout grid --duplex long-edge").status == 0);
    CHECK((content_of(scratch / "edition") == files));
    const auto back =
        run_tool("sheets " + edition + " --papers letter,a4 --gutter 0mm --duplex none");
    REQUIRE_MESSAGE(back.status == 0, back.output);
    CHECK((content_of(scratch / "edition").at("sheets-a4.pdf") ==
           content_of(demo_edition()).at("sheets-a4.pdf")));
}

TEST_CASE("job writes a file that make takes, with the deck's size, and never replaces one") {
    const Scratch scratch("job");
    const std::string file = quoted((scratch / "orchard.toml").string());
    const auto written = run_tool("job " + demo_list() + " -o " + file);
    REQUIRE_MESSAGE(written.status == 0, written.output);
    const std::string text = read_text(scratch / "orchard.toml");
    CHECK(text.find("size = \"63.5x88.9mm\"") != std::string::npos);
    CHECK(text.find("# ") != std::string::npos);
    const auto made =
        run_tool("make " + file + " --papers a4 -o " + quoted((scratch / "out").string()));
    CHECK_MESSAGE((made.status == 0 || made.status == 3), made.output);
    CHECK(json_of(scratch / "out/report.json").at("faces").size() == 20);
    const auto twice = run_tool("job " + demo_list() + " -o " + file);
    CHECK(twice.status == 2);
    CHECK(says(twice, "exists already"));
    CHECK(read_text(scratch / "orchard.toml") == text);
}

TEST_CASE("explain tells every rule, and the nearest one for a slip") {
    const auto one = run_tool("explain bleed-missing");
    CHECK(one.status == 0);
    CHECK(says(one, "1 mm off"));
    const auto all = run_tool("explain");
    CHECK(says(all, "text-small:"));
    CHECK(says(all, "face-unreadable:"));
    const auto slip = run_tool("explain bleed-mising");
    CHECK(slip.status == 2);
    CHECK(says(slip, "did you mean bleed-missing?"));
}

TEST_CASE("help and version end with 0, mistakes on the command line with 2 and one line") {
    CHECK(run_tool("--help").status == 0);
    CHECK(run_tool("make --help").status == 0);
    CHECK(says(run_tool("--version"), "paleproof 0."));
    CHECK(run_tool("").status == 2);
    CHECK(run_tool("proof x").status == 2);
    CHECK(run_tool("make").status == 2);
    const auto bare = run_tool("make " + demo_list() + " --bleed 3");
    CHECK(bare.status == 2);
    CHECK(says(bare, "bleed: expected a length with a unit"));
    CHECK(run_tool("make " + demo_list() + " --no-such-option 3").status == 2);
}

TEST_CASE("docs/cli.md is what the tool's help says") {
    const auto written =
        run_command("bash " + quoted(std::string(PALEPROOF_ROOT) + "/fixtures/make/cli_doc.sh") +
                    " " + quoted(PALEPROOF_BINARY));
    REQUIRE(written.status == 0);
    CHECK_MESSAGE((written.output == read_text(std::string(PALEPROOF_ROOT) + "/docs/cli.md")),
                  "write it again: bash fixtures/make/cli_doc.sh build/release/src/cli/paleproof "
                  ">docs/cli.md");
}

TEST_CASE("a list option takes its list and not the source behind it") {
    const Scratch scratch("list-option");
    std::filesystem::create_directories(scratch / "cards");
    std::filesystem::copy(std::string(PALEPROOF_DEMO_DECK) + "/waiting-jar.png", scratch / "cards");
    const auto made = run_tool("make --papers a4,a3 " + quoted((scratch / "cards").string()));
    CHECK_MESSAGE((made.status == 0 || made.status == 3), made.output);
    CHECK(std::filesystem::exists(scratch / "cards-edition/sheets-a3.pdf"));
}
