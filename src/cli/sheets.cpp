// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <memory>

#include "app/make.h"
#include "app/summary.h"
#include "cli/commands.h"
#include "cli/terminal.h"

namespace paleproof::cli {

void add_sheets(CLI::App& program, Action& action) {
    struct State {
        std::string out;
        GivenOptions given;
    };
    const auto state = std::make_shared<State>();
    CLI::App* command = program.add_subcommand(
        "sheets", "impose an existing edition again: other paper, other layout");
    command->add_option("OUT", state->out, "folder of the edition")->required();
    add_options(*command, state->given, "sheets");
    command->footer(examples_of("sheets"));
    command->callback([state, &action] {
        action = [state](const app::Progress& progress) {
            app::Job job;
            app::take_recorded_options(state->out, job);
            state->given.apply(job);
            job.out = state->out;
            const auto sheets = app::impose_again(job, progress);
            print_results(app::sheets_summary(sheets, job));
            return app::ExitStatus::done;
        };
    });
}

}  // namespace paleproof::cli
