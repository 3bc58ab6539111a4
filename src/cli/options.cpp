// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/options.h"

#include "app/option_values.h"
#include "cli/commands.h"

namespace paleproof::cli {
namespace {

/// The help line with the default behind it, where the line does not name it already.
std::string help_of(const app::Option& option) {
    std::string help(option.help);
    std::string value = option.get(app::Job{});
    std::erase_if(value, [](char c) { return c == '"' || c == '[' || c == ']' || c == ' '; });
    if (value.empty() || help.find("(default") != std::string::npos) return help;
    return help + " (default: " + value + ")";
}

}  // namespace

void GivenOptions::apply(app::Job& job) const {
    for (const app::Option& option : app::options()) {
        const auto found = values.find(option.key);
        if (found == values.end() || found->second.option->count() == 0) continue;
        const std::string& text = found->second.text;
        option.set(job, option.list ? app::split_list(text) : std::vector<std::string>{text});
    }
}

void add_options(CLI::App& command, GivenOptions& given, std::string_view section, bool makes) {
    for (const app::Option& option : app::options()) {
        // The faces are SOURCE; where an edition goes and what it is compared with is a matter of
        // the commands that make one.
        const bool own =
            option.key == "faces" || (!makes && option.section == "run" && option.key != "threads");
        if ((!section.empty() && option.section != section) || own) continue;
        GivenOptions::Value& value = given.values[std::string(option.key)];
        if (option.values.empty()) {
            // "true"; --read=false takes back what the job file has.
            value.option =
                command.add_flag(app::flag(option), value.text, std::string(option.help));
        } else {
            value.option = command
                               .add_option((option.key == "out" ? "-o," : "") + app::flag(option),
                                           value.text, help_of(option))
                               ->type_name(std::string(option.values));
        }
        value.option->group("[" + std::string(option.section) + "]");
    }
}

}  // namespace paleproof::cli
