// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>

#include "cli/tool.h"

using namespace paleproof::test;

namespace {

/// A folder with one face of the demo deck.
std::string one_card(const Scratch& scratch) {
    std::filesystem::create_directories(scratch / "cards");
    std::filesystem::copy(std::string(PALEPROOF_DEMO_DECK) + "/lampwing.png", scratch / "cards");
    return quoted((scratch / "cards").string());
}

bool without_engine(const CommandResult& result) {
    return result.output.find("no OCR engine") != std::string::npos;
}

}  // namespace

TEST_CASE("--read puts the words beside each line and its findings") {
    const Scratch scratch("read");
    const std::string cards = one_card(scratch);
    // A limit that every line misses, so that each has its finding.
    const auto made = run_tool("make " + cards + " --read --min-text 40pt --papers a4 -o " +
                               quoted((scratch / "out").string()));
    if (without_engine(made)) {
        CHECK(made.status == 2);
        return;
    }
    REQUIRE_MESSAGE((made.status == 0 || made.status == 3), made.output);
    const auto face = json_of(scratch / "out/report.json").at("faces")[0];
    std::string all;
    int small = 0;
    int read_again = 0;
    for (const auto& line : face.at("text")) {
        read_again += line.at("proof_words").get<std::string>().empty() ? 0 : 1;
        all += line.at("words").get<std::string>() + "\n";
    }
    CHECK(read_again > 4);
    // What the face's SVG says, in fixtures/demo.
    CHECK_MESSAGE(all.find("Lampwing") != std::string::npos, all);
    for (const auto& finding : face.at("findings")) {
        if (finding.at("rule") == "text-small" && finding.contains("words")) {
            ++small;
        }
    }
    CHECK(small > 2);
    const std::string page = read_text(scratch / "out/report.html");
    CHECK(page.find("It does not fear the flame.") != std::string::npos);
}

TEST_CASE("without --read nothing is read; another language must be installed") {
    const Scratch scratch("unread");
    const std::string cards = one_card(scratch);
    const auto checked =
        run_tool("check " + cards + " --json " + quoted((scratch / "c.json").string()));
    CHECK((checked.status == 0 || checked.status == 3));
    const auto read = json_of(scratch / "c.json");
    for (const auto& line : read.at("faces")[0].at("text")) {
        CHECK(line.at("words") == "");
    }
    const auto refused = run_tool("check " + cards + " --read --read-language xyz");
    CHECK(refused.status == 2);
    if (!without_engine(refused)) {
        CHECK_MESSAGE(
            refused.output.find("xyz: expected an installed OCR language") != std::string::npos,
            refused.output);
    }
    CHECK(std::count(refused.output.begin(), refused.output.end(), '\n') == 1);
}
