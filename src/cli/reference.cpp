// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "cli/reference.h"

#include <algorithm>
#include <iostream>
#include <memory>

#include "cli/commands.h"
#include "core/finding.h"

namespace paleproof::cli {
namespace {

/// "color | tint | gray" -> its words; nothing for "LENGTH" or "SIDES LENGTH | auto".
std::vector<std::string> words_of(const std::string& value) {
    std::vector<std::string> words;
    std::size_t start = 0;
    while (start <= value.size()) {
        const std::size_t bar = std::min(value.find('|', start), value.size());
        std::string word = value.substr(start, bar - start);
        word.erase(0, std::min(word.find_first_not_of(' '), word.size()));
        word.erase(word.find_last_not_of(' ') + 1);
        const bool plain = !word.empty() && std::ranges::all_of(word, [](char c) {
            return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
        });
        if (plain) words.push_back(word);
        start = bar + 1;
    }
    return words;
}

DescribedOption described_option(const CLI::Option& option) {
    DescribedOption result;
    result.operand = option.nonpositional() == false;
    result.help = option.get_description();
    if (!option.get_lnames().empty()) {
        result.name = "--" + option.get_lnames().front();
    } else {
        result.name = option.get_name(true);
    }
    if (!option.get_snames().empty()) result.letter = "-" + option.get_snames().front();
    if (option.get_items_expected_max() > 0 && !result.operand) {
        result.value = option.get_type_name();
        result.choices = words_of(result.value);
    }
    const std::string& group = option.get_group();
    if (group.size() > 2 && group.front() == '[')
        result.section = group.substr(1, group.size() - 2);
    return result;
}

std::vector<DescribedOption> options_of(const CLI::App& app) {
    std::vector<DescribedOption> result;
    for (const CLI::Option* option : app.get_options()) {
        if (!option->get_group().empty()) result.push_back(described_option(*option));
    }
    std::stable_partition(result.begin(), result.end(),
                          [](const DescribedOption& option) { return option.operand; });
    return result;
}

}  // namespace

DescribedProgram described(const CLI::App& program) {
    DescribedProgram result{program.get_description(), options_of(program), {}};
    for (const CLI::App* command : program.get_subcommands([](const CLI::App*) { return true; })) {
        if (command->get_group().empty()) continue;
        DescribedCommand entry{command->get_name(), command->get_description(),
                               examples_of(command->get_name()), options_of(*command)};
        for (DescribedOption& option : entry.options) {
            if (option.name != "RULE") continue;
            for (const RuleInfo& rule : rules()) option.choices.emplace_back(rule.name);
        }
        result.commands.push_back(std::move(entry));
    }
    return result;
}

void add_reference(CLI::App& program, Action& action) {
    const auto kind = std::make_shared<std::string>();
    CLI::App* command = program.add_subcommand(
        "reference", "write the manual page or a shell's completion to standard output");
    command->group("");
    command->add_option("KIND", *kind, "man, bash, zsh or fish")
        ->required()
        ->check(CLI::IsMember({"man", "bash", "zsh", "fish"}));
    command->callback([kind, &program, &action] {
        action = [kind, &program](const app::Progress&) {
            const DescribedProgram whole = described(program);
            std::cout << (*kind == "man"    ? manual_page(whole)
                          : *kind == "bash" ? bash_completion(whole)
                          : *kind == "zsh"  ? zsh_completion(whole)
                                            : fish_completion(whole));
            return app::ExitStatus::done;
        };
    });
}

}  // namespace paleproof::cli
