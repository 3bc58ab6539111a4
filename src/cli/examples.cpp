// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <array>

#include "cli/commands.h"

namespace paleproof::cli {
namespace {

struct Example {
    std::string_view command;
    std::string_view line;
    std::string_view words;
};

/// Run by tests/cli/reference_test.cpp as they stand.
constexpr std::array examples{
    Example{"make", "paleproof make deck", "the edition of a folder, in deck-edition"},
    Example{"make", "paleproof make deck/deck.csv -o edition --style line",
            "a deck list, as line proofs"},
    Example{"make", "paleproof make deck --ink-budget 8% --papers a4 --duplex long-edge",
            "less ink, A4, backs on the other side"},
    Example{"make", "paleproof make deck --json - --quiet", "the numbers for a script"},
    Example{"check", "paleproof check deck", "what to fix, before anything is made"},
    Example{"check", "paleproof check deck --json findings.json", "the same for a program"},
    Example{"watch", "paleproof watch deck", "makes again what changed; Ctrl-C ends"},
    Example{"sheets", "paleproof sheets edition --papers a4 --gutter 4mm",
            "other paper, room between the cards"},
    Example{"sheets", "paleproof sheets edition --layout fold", "fronts and backs side by side"},
    Example{"job", "paleproof job deck -o deck.toml", "settings to keep with the deck"},
    Example{"explain", "paleproof explain bleed-missing", "why it matters, and what to do"},
    Example{"explain", "paleproof explain", "all rules"},
};

}  // namespace

std::string examples_of(std::string_view command) {
    std::string text = "Examples:\n";
    for (const Example& example : examples) {
        // The program itself shows the first of each command.
        const bool wanted =
            command.empty()
                ? text.find("paleproof " + std::string(example.command) + " ") == std::string::npos
                : example.command == command;
        if (!wanted) continue;
        text += "  " + std::string(example.line) + "\n      " + std::string(example.words) + "\n";
    }
    return text;
}

}  // namespace paleproof::cli
