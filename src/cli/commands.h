// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <map>
#include <string>
#include <string_view>

#include "app/exit_status.h"
#include "app/job.h"
#include "app/progress.h"

namespace paleproof::cli {

/// What a command does once the command line is read.
using Action = std::function<app::ExitStatus(const app::Progress&)>;

/// What the command line has for options of the table, by key. It is applied after the job file, so
/// that it wins.
struct GivenOptions {
    struct Value {
        std::string text;
        CLI::Option* option = nullptr;  ///< tells whether it was given: an empty text may be
    };
    std::map<std::string, Value, std::less<>> values;
    /// Error{range} for the first value that is not valid.
    void apply(app::Job& job) const;
};

/// Adds the options of the table to a command, all or those of one section; those of [run], but for
/// the threads, only to commands that make an edition.
void add_options(CLI::App& command, GivenOptions& given, std::string_view section = {},
                 bool makes = false);

/// One function a command: adds it to the program and, when it is the one that was called, sets
/// `action`.
void add_make(CLI::App& program, Action& action);
void add_check(CLI::App& program, Action& action);
void add_sheets(CLI::App& program, Action& action);
void add_job(CLI::App& program, Action& action);
void add_explain(CLI::App& program, Action& action);
void add_watch(CLI::App& program, Action& action);
/// Hidden: the manual page and the shells' completions, for packages.
void add_reference(CLI::App& program, Action& action);

/// "Examples:" and the lines of the table in examples.cpp for a command; "" = the program.
[[nodiscard]] std::string examples_of(std::string_view command);

}  // namespace paleproof::cli
