// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "app/job.h"

namespace paleproof::app {

/// One setting. The same table feeds the command line (--ink-budget), the job file ([look]
/// ink_budget), the job file that `paleproof job` writes, and the documentation.
struct Option {
    std::string_view section;  ///< table of the job file
    std::string_view key;      ///< key there; the option is --key with '-' for '_'
    std::string_view values;   ///< what may stand there, for help: "LENGTH", "color | gray"; ""
                               ///< for a switch: true or false in the job file, --key alone
    std::string_view help;     ///< one line
    bool list = false;  ///< several values: an array in TOML, comma-separated on the command line
    /// Takes the texts into the job. Error{range} with what was expected.
    void (*set)(Job&, const std::vector<std::string>&);
    /// The job's value as TOML; "" when it is not set and has no fixed default.
    std::string (*get)(const Job&);
};

/// In the order of the job file.
[[nodiscard]] std::span<const Option> options();

/// Those of [sheets], and those of [run], the last of them.
[[nodiscard]] std::span<const Option> sheet_options();
[[nodiscard]] std::span<const Option> run_options();

/// "--ink-budget"
[[nodiscard]] std::string flag(const Option& option);

/// "ink_budget" -> the option, or nothing; the section is not needed, keys are unique.
[[nodiscard]] const Option* find_option(std::string_view key);

/// A value as `get` writes it, as the texts that `set` takes: "a4" or ["a4", "letter"].
[[nodiscard]] std::vector<std::string> texts_of_toml(const std::string& value);

}  // namespace paleproof::app
