// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Every command that the designer's documents show runs as it stands, in the order of the document,
// in a folder with the deck that they speak of.
#include <doctest/doctest.h>

#include <regex>
#include <vector>

#include "cli/small_deck.h"

using namespace paleproof::test;

namespace {

/// "$ paleproof ..." lines of code blocks, and `paleproof ...` in running text without
/// placeholders.
std::vector<std::string> commands_in(const std::string& document) {
    const std::string text = read_text(std::string(PALEPROOF_ROOT) + "/" + document);
    static const std::regex shown(R"((?:^|\n)\$ (paleproof [^\n]+)|`(paleproof [^`A-Z\n]+)`)");
    std::vector<std::string> commands;
    for (std::sregex_iterator at(text.begin(), text.end(), shown), end; at != end; ++at) {
        commands.push_back((*at)[1].matched ? (*at)[1] : (*at)[2]);
    }
    return commands;
}

}  // namespace

TEST_CASE("every command in the designer's documents runs") {
    int run = 0;
    for (const char* document :
         {"README.md", "docs/first-edition.md", "docs/choosing-a-style.md", "docs/findings.md",
          "docs/for-playtesters.md", "docs/limits.md", "docs/report.md"}) {
        const Scratch scratch("documents");
        write_small_deck(scratch.path());
        // What the text around a command takes as done.
        REQUIRE(run_shown(scratch.path(), "paleproof make -q deck/deck.csv -o edition").status !=
                2);
        for (std::string command : commands_in(document)) {
            CAPTURE(document);
            CAPTURE(command);
            const bool watch = command.starts_with("paleproof watch");
            if (watch) command = "timeout -s INT 3 " + command;  // as a person ends it
            const auto result = run_shown(scratch.path(), command);
            CHECK_MESSAGE((result.status == 0 || result.status == 3 ||
                           (watch && (result.status == 124 || result.status == 130))),
                          result.output);
            ++run;
        }
    }
    CHECK(run >= 17);
}
