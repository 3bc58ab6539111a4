// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The README's session is run as it stands, and must say what the README shows.
#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "cli/tool.h"

using namespace paleproof::test;

namespace {

std::string session_of_readme() {
    const std::string readme = read_text(std::string(PALEPROOF_ROOT) + "/README.md");
    const std::size_t mark = readme.find("<!-- run by tests/cli/readme_test.cpp");
    REQUIRE(mark != std::string::npos);
    const std::size_t start = readme.find("```\n", mark) + 4;
    return readme.substr(start, readme.find("```", start) - start);
}

std::string in_percent(double share) { return std::to_string(std::lround(share * 100)) + " %"; }

}  // namespace

TEST_CASE("the README's first session does what it shows") {
    const std::string session = session_of_readme();
    const std::size_t line_end = session.find('\n');
    const std::string command = session.substr(2, line_end - 2);
    REQUIRE(command.starts_with("paleproof make"));

    const Scratch scratch("readme");
    std::filesystem::create_directory_symlink(PALEPROOF_DEMO_DECK, scratch / "deck");
    const auto shown =
        run_command("cd " + quoted(scratch.path().string()) + " && " + quoted(PALEPROOF_BINARY) +
                    command.substr(std::string("paleproof").size()) +
                    " 2>/dev/null");  // progress is not part of the session
    CHECK((shown.status == 0 || shown.status == 3));
    CHECK(shown.output == session.substr(line_end + 1));
    for (const char* name : {"report.html", "sheets-a4.pdf", "sheets-letter.pdf", "pages.pdf",
                             "report.json", "ink.csv", "edition.json"}) {
        CHECK_MESSAGE(std::filesystem::exists(scratch / "edition" / name), name);
    }

    // The figures under the README's picture are those of its three faces.
    const auto report = json_of(scratch / "edition/report.json");
    std::vector<std::string> color;
    std::vector<std::string> proof;
    for (const char* name : {"Rosy Underleaf", "First Frost", "Sugar & Smoke"}) {
        for (const auto& face : report["faces"]) {
            if (face["name"] != name) continue;
            color.push_back(in_percent(face["ink"]["source"]["total"]));
            proof.push_back(in_percent(face["ink"]["proof"]["total"]));
        }
    }
    REQUIRE(color.size() == 3);
    const std::string told = color[0] + ", " + color[1] + " and " + color[2] +
                             " of the card in color, " + proof[0] + ", " + proof[1] + " and " +
                             proof[2] + " as proofs";
    CHECK_MESSAGE(
        read_text(std::string(PALEPROOF_ROOT) + "/README.md").find(told) != std::string::npos,
        told);
}
