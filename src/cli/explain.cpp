// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <iostream>
#include <memory>
#include <vector>

#include "cli/commands.h"
#include "core/error.h"
#include "core/finding.h"
#include "core/format.h"

namespace paleproof::cli {

void add_explain(CLI::App& program, Action& action) {
    const auto wanted = std::make_shared<std::string>();
    CLI::App* command = program.add_subcommand(
        "explain", "what a rule measures, why, and what to do; without RULE: all rules");
    command->add_option("RULE", *wanted, "name of a rule, as findings show it");
    command->footer(examples_of("explain"));
    command->callback([wanted, &action] {
        action = [wanted](const app::Progress&) {
            if (wanted->empty()) {
                for (const RuleInfo& info : rules()) {
                    std::cout << info.name << ": " << info.measures << "\n";
                }
                return app::ExitStatus::done;
            }
            const auto rule = rule_named(*wanted);
            if (!rule) {
                std::vector<std::string_view> names;
                for (const RuleInfo& info : rules()) names.push_back(info.name);
                const std::string near = did_you_mean(*wanted, names);
                throw Error(ErrorKind::usage, *wanted,
                            near.empty() ? "no such rule; `paleproof explain` names all"
                                         : "no such rule" + near);
            }
            for (const RuleInfo& info : rules()) {
                if (info.rule != *rule) continue;
                std::cout << info.name << "\n  measures  " << info.measures << "\n  because   "
                          << info.why << "\n  to do     " << info.remedy << "\n";
            }
            return app::ExitStatus::done;
        };
    });
}

}  // namespace paleproof::cli
