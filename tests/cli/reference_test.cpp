// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// What is made from the tables of options: examples, manual page, completions. Checked by the
// programs that read them: man (groff), bash, zsh, fish.
#include <doctest/doctest.h>

#include <sstream>
#include <vector>

#include "cli/small_deck.h"

using namespace paleproof::test;

namespace {

std::vector<std::string> lines_with(const std::string& text, const std::string& start) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) {
        if (line.starts_with(start)) lines.push_back(line.substr(start.size()));
    }
    return lines;
}

std::string reference(const std::string& kind, const Scratch& scratch) {
    const std::string file = (scratch / kind).string();
    REQUIRE(run_tool("reference " + kind + " >" + quoted(file)).status == 0);
    return file;
}

}  // namespace

TEST_CASE("every example of --help runs as it stands") {
    const Scratch scratch("examples");
    write_small_deck(scratch.path());
    int run = 0;
    for (const char* command : {"make", "check", "watch", "sheets", "job", "explain"}) {
        const auto examples =
            lines_with(run_tool(std::string(command) + " --help").output, "  paleproof ");
        CHECK(!examples.empty());
        for (const std::string& example : examples) {
            CAPTURE(example);
            // `watch` is ended as a person would.
            const std::string before = example.starts_with("watch") ? "timeout -s INT 3 " : "";
            const auto result = run_shown(scratch.path(), before + "paleproof " + example);
            const bool ended = result.status == 124 || result.status == 130;
            CHECK_MESSAGE((result.status == 0 || result.status == 3 || (!before.empty() && ended)),
                          result.output);
            ++run;
        }
    }
    CHECK(run >= 11);
}

TEST_CASE("the manual page is free of faults and names every option") {
    const Scratch scratch("man");
    const std::string page = reference("man", scratch);
    if (!has_command("man")) {
        MESSAGE("man is missing: only the options are looked for");
    } else {
        // groff's own warnings, on a page as wide as the tables need.
        const auto shown =
            run_command("MANWIDTH=100 man --warnings -l " + quoted(page) + " 2>&1 >/dev/null");
        CHECK(shown.output == "");
        CHECK(shown.status == 0);
    }
    std::string text = read_text(page);
    std::erase(text, '\\');
    for (const char* command : {"make", "check", "watch", "sheets", "job", "explain"}) {
        for (const std::string& line :
             lines_with(run_tool(std::string(command) + " --help").output, "  --")) {
            const std::string name = "--" + line.substr(0, line.find_first_of(" \n"));
            CAPTURE(name);
            CHECK(text.find("fB" + name + "fR") != std::string::npos);
        }
    }
}

TEST_CASE("completions are accepted by their shells") {
    const Scratch scratch("shells");
    for (const char* shell : {"bash", "zsh", "fish"}) {
        CAPTURE(shell);
        const std::string file = reference(shell, scratch);
        if (!has_command(shell)) {
            MESSAGE("the shell is missing: its completion is not tried");
            continue;
        }
        const auto read = run_command(std::string(shell) + " -n " + quoted(file));
        CHECK_MESSAGE(read.status == 0, read.output);
    }
}

TEST_CASE("bash completes commands, options, values and rules") {
    const Scratch scratch("bash");
    const std::string file = reference("bash", scratch);
    const auto completed = [&](const std::string& words, int at) {
        return run_command("bash -c " + quoted("source " + file + "; COMP_WORDS=(paleproof " +
                                               words + "); COMP_CWORD=" + std::to_string(at) +
                                               "; _paleproof; echo \"${COMPREPLY[@]}\""))
            .output;
    };
    CHECK(completed("wa", 1) == "watch\n");
    CHECK(completed("make --ink-b", 2) == "--ink-budget\n");
    CHECK(completed("make --style t", 3) == "tint\n");
    CHECK(completed("explain bleed", 2) == "bleed-missing\n");
    CHECK(completed("sheets --guides \"\"", 3) == "lines ticks full none\n");
}

TEST_CASE("fish completes values and rules") {
    if (!has_command("fish")) {
        MESSAGE("fish is missing: its completion is not tried");
        return;
    }
    const Scratch scratch("fish");
    const std::string file = reference("fish", scratch);
    const auto completed = [&](const std::string& line) {
        return run_command("HOME=" + quoted(scratch.path().string()) + " fish -c " +
                           quoted("source " + file + "; complete -C '" + line + "'"))
            .output;
    };
    CHECK(completed("paleproof make --style t").starts_with("tint"));
    CHECK(completed("paleproof explain gray-t").starts_with("gray-twins"));
}
