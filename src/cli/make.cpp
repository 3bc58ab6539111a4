// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/make.h"

#include <iostream>
#include <memory>

#include "app/source.h"
#include "app/summary.h"
#include "cli/commands.h"
#include "cli/terminal.h"

namespace paleproof::cli {

void add_make(CLI::App& program, Action& action) {
    struct State {
        std::string source;
        std::string json;
        GivenOptions given;
    };
    const auto state = std::make_shared<State>();
    CLI::App* command =
        program.add_subcommand("make", "the whole edition: proofs, pages, sheets, report");
    command
        ->add_option("SOURCE", state->source,
                     "folder of faces, deck list (.csv) or job file (.toml)")
        ->required();
    command->add_option("--json", state->json, "write the results as JSON too; - = standard output")
        ->type_name("FILE");
    add_options(*command, state->given, {}, true);
    command->footer(examples_of("make"));
    command->callback([state, &action] {
        action = [state](const app::Progress& progress) {
            app::Job job;
            if (!state->json.empty() && state->json != "-") app::refuse_no_place(state->json);
            app::open_source(state->source, job);
            state->given.apply(job);
            if (job.out.empty()) job.out = app::default_out(state->source);
            const app::MadeEdition made = app::make(job, progress);
            if (state->json == "-") {
                std::cout << made.report_json;
                return made.status;
            }
            if (!state->json.empty()) app::write_whole_file(state->json, made.report_json);
            print_results(app::make_summary(made, job));
            return made.status;
        };
    });
}

}  // namespace paleproof::cli
