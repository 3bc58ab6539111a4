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
        std::string out;
        std::string json;
        unsigned threads = 0;
        std::string changed_since;
        GivenOptions given;
    };
    const auto state = std::make_shared<State>();
    CLI::App* command =
        program.add_subcommand("make", "the whole edition: proofs, pages, sheets, report");
    command
        ->add_option("SOURCE", state->source,
                     "folder of faces, deck list (.csv) or job file (.toml)")
        ->required();
    command->add_option("-o,--out", state->out, "folder of the edition (default: SOURCE-edition)")
        ->type_name("FOLDER");
    command->add_option("--json", state->json, "write the results as JSON too; - = standard output")
        ->type_name("FILE");
    command->add_option("--threads", state->threads, "threads to use; 0 = one per core")
        ->check(CLI::Range(0U, 1024U))
        ->type_name("COUNT");
    command
        ->add_option("--changed-since", state->changed_since,
                     "also sheets of the cards alone that changed since that edition")
        ->type_name("EDITION.json");
    add_options(*command, state->given);
    command->footer(examples_of("make"));
    command->callback([state, &action] {
        action = [state](const app::Progress& progress) {
            app::Job job;
            app::open_source(state->source, job);
            state->given.apply(job);
            job.threads = state->threads;
            job.changed_since = state->changed_since;
            job.out = state->out.empty() ? app::default_out(state->source)
                                         : std::filesystem::path(state->out);
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
