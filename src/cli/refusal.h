// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace paleproof::cli {

/// What is wrong with a command line, in one line with what to do: a slip in a command or an option
/// is answered with the nearest name, a missing SOURCE with an example.
[[nodiscard]] std::string refusal(const CLI::App& program, const CLI::ParseError& fault);

}  // namespace paleproof::cli
