// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace paleproof::cli {

/// One option, flag or operand as the documents show it.
struct DescribedOption {
    std::string name;    ///< "--ink-budget", or "SOURCE" for an operand
    std::string letter;  ///< "-o", or ""
    std::string value;   ///< "FOLDER", "color | gray"; "" for a flag
    std::string help;
    std::string section;  ///< "look", or "" for what no job file holds
    bool operand = false;
    std::vector<std::string> choices;  ///< of the value, where it is one of some words
};

struct DescribedCommand {
    std::string name;
    std::string help;
    std::string examples;
    std::vector<DescribedOption> options;
};

/// What the parser knows: the one table behind --help, the manual and the completions.
struct DescribedProgram {
    std::string help;
    std::vector<DescribedOption> options;  ///< of the program itself, for every command
    std::vector<DescribedCommand> commands;
};

[[nodiscard]] DescribedProgram described(const CLI::App& program);

/// A page for man(1) in section 1: troff with the man macros.
[[nodiscard]] std::string manual_page(const DescribedProgram& program);

[[nodiscard]] std::string bash_completion(const DescribedProgram& program);
[[nodiscard]] std::string zsh_completion(const DescribedProgram& program);
[[nodiscard]] std::string fish_completion(const DescribedProgram& program);

}  // namespace paleproof::cli
