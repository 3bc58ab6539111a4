// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "cli/refusal.h"

#include <algorithm>
#include <filesystem>
#include <string_view>
#include <vector>

#include "app/options.h"
#include "core/format.h"

namespace paleproof::cli {
namespace {

std::string nearest(const std::string& word, const std::vector<std::string>& known) {
    const std::vector<std::string_view> views(known.begin(), known.end());
    return nearest_word(word, views);
}

/// Those that --help shows.
std::vector<std::string> commands_of(const CLI::App& program) {
    std::vector<std::string> names;
    for (const CLI::App* command :
         program.get_subcommands([](const CLI::App* app) { return !app->get_group().empty(); })) {
        names.push_back(command->get_name());
    }
    return names;
}

std::vector<std::string> flags_of(const CLI::App& app) {
    std::vector<std::string> names;
    for (const CLI::Option* option : app.get_options()) {
        for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
    }
    return names;
}

std::string listed(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i) {
        text += (i == 0 ? "" : i + 1 == names.size() ? " or " : ", ") + names[i];
    }
    return text;
}

std::string no_command(const CLI::App& program, const std::vector<std::string>& rest) {
    const std::vector<std::string> commands = commands_of(program);
    const auto word =
        std::ranges::find_if(rest, [](const std::string& text) { return !text.starts_with('-'); });
    if (word == rest.end()) {
        return "expected a command: " + listed(commands) +
               "; `paleproof make FOLDER` makes an edition, `paleproof --help` shows more";
    }
    const std::string near = nearest(*word, commands);
    if (!near.empty()) return *word + ": no such command; did you mean " + near + "?";
    std::error_code fault;
    if (std::filesystem::exists(*word, fault)) {
        const bool spaced = word->find(' ') != std::string::npos;
        return *word + ": expected a command before it, as in `paleproof make " +
               (spaced ? "'" + *word + "'" : *word) + "`";
    }
    return *word + ": no such command; there are " + listed(commands);
}

std::string unknown(const CLI::App& program, const CLI::App& command,
                    const std::vector<std::string>& rest) {
    const std::string help = "`paleproof " + command.get_name() + " --help` shows all";
    const auto option =
        std::ranges::find_if(rest, [](const std::string& text) { return text.starts_with('-'); });
    if (option == rest.end()) {
        return command.get_name() + ": '" + rest.front() +
               "' is one argument too many; a name with spaces needs quotes around it";
    }
    const std::string name = option->substr(0, option->find('='));
    std::vector<std::string> flags = flags_of(command);
    std::ranges::copy(flags_of(program), std::back_inserter(flags));
    const std::string near = nearest(name, flags);
    return name + ": " + command.get_name() + " has no such option; " +
           (near.empty() ? help : "did you mean " + near + "?");
}

std::string missing(const CLI::App& command) {
    for (const CLI::Option* option : command.get_options()) {
        if (!option->get_required() || option->count() > 0) continue;
        return command.get_name() + ": expected " + option->get_name() + ", a " +
               option->get_description() + ", as in `paleproof " + command.get_name() +
               (option->get_name() == "SOURCE" ? " deck`" : " deck-edition`");
    }
    return command.get_name() + ": something is missing; `paleproof " + command.get_name() +
           " --help` shows what";
}

/// CLI11 says "--style: 1 required TEXT missing", or "--style: At Most 1 required but received 2".
std::string wrong_count(const CLI::App& command, const std::string& fault) {
    const std::string name = fault.substr(0, fault.find(':'));
    const CLI::Option* option = command.get_option_no_throw(name);
    if (option == nullptr) return fault;
    if (option->count() < 2) {
        return name + ": expected " + option->get_type_name() + " behind it, found nothing";
    }
    const auto known = std::ranges::find(app::options(), name, app::flag);
    return name + ": expected once, found " + std::to_string(option->count()) + " times" +
           (known != app::options().end() && known->list
                ? "; put several values into one, with commas between"
                : "");
}

}  // namespace

std::string refusal(const CLI::App& program, const CLI::ParseError& fault) {
    const std::vector<std::string> rest = program.remaining(true);
    const std::vector<CLI::App*> called = program.get_subcommands();
    if (called.empty()) return no_command(program, rest);
    const CLI::App& command = *called.front();
    if (dynamic_cast<const CLI::ExtrasError*>(&fault) != nullptr && !rest.empty()) {
        return unknown(program, command, rest);
    }
    if (dynamic_cast<const CLI::RequiredError*>(&fault) != nullptr) {
        // A slip in an option swallows what stands behind it: the slip is what is wrong.
        const bool slip = std::ranges::any_of(
            rest, [](const std::string& text) { return text.starts_with("--"); });
        return slip ? unknown(program, command, rest) : missing(command);
    }
    if (dynamic_cast<const CLI::ArgumentMismatch*>(&fault) != nullptr) {
        return wrong_count(command, fault.what());
    }
    return command.get_name() + ": " + fault.what();
}

}  // namespace paleproof::cli
