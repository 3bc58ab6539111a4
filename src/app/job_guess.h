// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>

namespace paleproof::app {

/// The text of a job file for a folder of faces or a deck list: the card size that all faces have,
/// read from their heads only, a back that is called so, and the defaults for the rest. For a job
/// file its settings, with guesses only where it is silent. Paths in the text are relative to
/// `folder`, where it will lie (empty = the current one).
/// Errors  those of open_source and read_deck.
[[nodiscard]] std::string guessed_job_file(const std::filesystem::path& source,
                                           const std::filesystem::path& folder);

}  // namespace paleproof::app
