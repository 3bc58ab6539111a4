// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>

namespace paleproof::app {

/// The text of a job file for a folder of faces or a deck list: the card size that most faces
/// have, read from their heads only, and the defaults for the rest. Paths in it are relative to
/// `folder`, where the file will lie (empty = the current one).
[[nodiscard]] std::string guessed_job_file(const std::filesystem::path& source,
                                           const std::filesystem::path& folder);

}  // namespace paleproof::app
