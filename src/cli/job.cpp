// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <filesystem>
#include <iostream>
#include <memory>

#include "app/job_guess.h"
#include "app/make.h"
#include "cli/commands.h"

namespace paleproof::cli {

void add_job(CLI::App& program, Action& action) {
    struct State {
        std::string source;
        std::string out;
    };
    const auto state = std::make_shared<State>();
    CLI::App* command =
        program.add_subcommand("job", "write a commented job file with guessed values");
    command
        ->add_option("SOURCE", state->source,
                     "folder of faces, deck list (.csv), or job file (.toml) to begin with")
        ->required();
    command->add_option("-o,--out", state->out, "job file to write (default: standard output)")
        ->type_name("FILE");
    command->footer(examples_of("job"));
    command->callback([state, &action] {
        action = [state](const app::Progress&) {
            const std::filesystem::path target = state->out;
            const std::string text = app::guessed_job_file(state->source, target.parent_path());
            if (state->out.empty()) {
                std::cout << text;
            } else {
                app::write_new_file(target, text);
                std::cout << "wrote " << state->out << "\n";
            }
            return app::ExitStatus::done;
        };
    });
}

}  // namespace paleproof::cli
