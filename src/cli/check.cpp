// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <iostream>
#include <memory>

#include "app/make.h"
#include "app/source.h"
#include "app/summary.h"
#include "cli/commands.h"
#include "cli/terminal.h"

namespace paleproof::cli {

void add_check(CLI::App& program, Action& action) {
    struct State {
        std::string source;
        std::string json;
        GivenOptions given;
    };
    const auto state = std::make_shared<State>();
    CLI::App* command = program.add_subcommand("check", "survey and findings, no images written");
    command
        ->add_option("SOURCE", state->source,
                     "folder of faces, deck list (.csv) or job file (.toml)")
        ->required();
    command->add_option("--json", state->json, "write the results as JSON; - = standard output")
        ->type_name("FILE");
    add_options(*command, state->given);
    command->footer(examples_of("check"));
    command->callback([state, &action] {
        action = [state](const app::Progress& progress) {
            app::Job job;
            if (!state->json.empty() && state->json != "-") app::refuse_no_place(state->json);
            app::open_source(state->source, job);
            state->given.apply(job);
            const app::MadeEdition checked = app::check(job, progress, !state->json.empty());
            if (state->json == "-") {
                std::cout << checked.report_json;
                return checked.status;
            }
            if (!state->json.empty()) app::write_whole_file(state->json, checked.report_json);
            print_results(app::check_summary(checked, state->source));
            return checked.status;
        };
    });
}

}  // namespace paleproof::cli
