// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/options.h"

#include "cli/commands.h"

namespace paleproof::cli {

void GivenOptions::apply(app::Job& job) const {
    for (const app::Option& option : app::options()) {
        const auto found = texts.find(option.key);
        if (found != texts.end() && !found->second.empty()) option.set(job, found->second);
    }
}

void add_options(CLI::App& command, GivenOptions& given, std::string_view section) {
    for (const app::Option& option : app::options()) {
        if ((!section.empty() && option.section != section) || option.key == "faces") continue;
        CLI::Option* added = command.add_option(
            app::flag(option), given.texts[std::string(option.key)], std::string(option.help));
        added->type_name(std::string(option.values));
        added->group("[" + std::string(option.section) + "]");
        if (option.list) {
            added->delimiter(',');
        } else {
            added->expected(1);
        }
    }
}

}  // namespace paleproof::cli
