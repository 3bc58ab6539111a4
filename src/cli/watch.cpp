// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/watch.h"

#include <chrono>
#include <iostream>
#include <memory>

#include "app/face_names.h"
#include "app/make.h"
#include "app/source.h"
#include "app/summary.h"
#include "cli/commands.h"
#include "cli/terminal.h"
#include "core/error.h"
#include "core/format.h"

namespace paleproof::cli {
namespace {

struct State {
    std::string source;
    GivenOptions given;
};

app::Job job_of(const State& state) {
    app::Job job;
    app::open_source(state.source, job);
    state.given.apply(job);
    if (job.out.empty()) job.out = app::default_out(state.source);
    return job;
}

std::string names_of(const std::vector<std::filesystem::path>& files) {
    std::vector<std::string> names;
    for (const auto& file : files) names.push_back(file.filename().string());
    return app::some_names(names);
}

std::string counts_of(const EditionResult& result) {
    std::size_t errors = 0;
    std::size_t warnings = 0;
    const auto count = [&](const std::vector<Finding>& findings) {
        for (const Finding& finding : findings) {
            errors += finding.severity == Severity::error ? 1U : 0U;
            warnings += finding.severity == Severity::warning ? 1U : 0U;
        }
    };
    count(result.findings);
    for (const FaceResult& face : result.faces) count(face.findings);
    return std::to_string(errors) + (errors == 1 ? " error, " : " errors, ") +
           std::to_string(warnings) + (warnings == 1 ? " warning" : " warnings");
}

/// Makes the edition until a stop is asked for. A run that fails is told; the next change may mend
/// it.
app::ExitStatus watch(const State& state, const app::Progress& progress) {
    app::FileStates made;
    bool first = true;
    while (!progress.stop.stop_requested()) {
        const app::FileStates now = first ? app::look_at(state.source)
                                          : app::wait_for_change(state.source, made, progress.stop);
        if (progress.stop.stop_requested()) break;
        const auto start = std::chrono::steady_clock::now();
        const auto changed = app::changed_files(made, now);
        made = now;
        try {
            const app::Job job = job_of(state);
            const app::MadeEdition edition = app::make(job, progress);
            const double seconds =
                std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
            if (first) {
                print_results(app::make_summary(edition, job) + "Watching   " + state.source +
                              "; Ctrl-C ends\n");
            } else {
                print_results("Made again " + names_of(changed) + ", in " + fixed(seconds, 1) +
                              " s; " + counts_of(edition.result) + "\n");
            }
        } catch (const Error& fault) {
            // What is wrong with the source or a setting ends the first run, as in `make`.
            if (first) throw;
            std::cerr << "paleproof: " << fault.what() << "; waiting for the next change\n";
        }
        first = false;
    }
    return app::ExitStatus::done;
}

}  // namespace

void add_watch(CLI::App& program, Action& action) {
    const auto state = std::make_shared<State>();
    CLI::App* command =
        program.add_subcommand("watch", "make, and make again whenever a face is saved");
    command
        ->add_option("SOURCE", state->source,
                     "folder of faces, deck list (.csv) or job file (.toml)")
        ->required();
    add_options(*command, state->given, {}, true);
    command->footer(examples_of("watch"));
    command->callback([state, &action] {
        action = [state](const app::Progress& progress) { return watch(*state, progress); };
    });
}

}  // namespace paleproof::cli
