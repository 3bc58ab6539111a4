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
        const auto found = texts.find(option.key);
        if (found == texts.end() || found->second.empty()) continue;
        option.set(job, option.list ? app::split_list(found->second)
                                    : std::vector<std::string>{found->second});
    }
}

void add_options(CLI::App& command, GivenOptions& given, std::string_view section, bool makes) {
    for (const app::Option& option : app::options()) {
        // The faces are SOURCE; where an edition goes and what it is compared with is a matter of
        // the commands that make one.
        const bool own =
            option.key == "faces" || (!makes && option.section == "run" && option.key != "threads");
        if ((!section.empty() && option.section != section) || own) continue;
        if (option.values.empty()) {
            const std::string key(option.key);
            command
                .add_flag_callback(
                    app::flag(option), [&given, key] { given.texts[key] = "true"; },
                    std::string(option.help))
                ->group("[" + std::string(option.section) + "]");
            continue;
        }
        command
            .add_option((option.key == "out" ? "-o," : "") + app::flag(option),
                        given.texts[std::string(option.key)], help_of(option))
            ->type_name(std::string(option.values))
            ->group("[" + std::string(option.section) + "]");
    }
}

}  // namespace paleproof::cli
