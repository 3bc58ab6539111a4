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
        std::string changed_since;
        bool test_page = false;
        GivenOptions given;
    };
    const auto state = std::make_shared<State>();
    CLI::App* command = program.add_subcommand(
        "sheets", "impose an existing edition again: other paper, other layout");
    command->add_option("OUT", state->out, "folder of the edition")->required();
    command
        ->add_option("--changed-since", state->changed_since,
                     "folder or edition.json of an earlier edition: sheets of the cards alone that "
                     "changed since")
        ->type_name("EDITION");
    command->add_flag("--test-page", state->test_page,
                      "a page to measure the printer's scale and front-to-back shift, no sheets");
    add_options(*command, state->given, "sheets");
    command->footer(examples_of("sheets"));
    command->callback([state, &action] {
        action = [state](const app::Progress& progress) {
            app::Job job;
            app::take_recorded_options(state->out, job);
            state->given.apply(job);
            job.out = state->out;
            job.changed_since = state->changed_since;
            job.test_page = state->test_page;
            const app::ImposedAgain imposed = app::impose_again(job, progress);
            print_results(app::sheets_summary(imposed, job));
            return app::ExitStatus::done;
        };
    });
}

}  // namespace paleproof::cli
