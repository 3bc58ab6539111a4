// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <functional>
#include <map>
#include <string>

#include "app/job.h"

namespace paleproof::app {

/// Reads a job file (TOML 1.0) into `job`. Relative paths in it are taken from its own folder.
/// Errors  Error{file} when it cannot be read; Error{format} with line and column when it is no
///         TOML; Error{usage} for an unknown section or key, naming it and the nearest known one;
///         Error{range} for a value, naming the key.
void read_job_file(const std::filesystem::path& file, Job& job);

/// What is to be said of a value, by its key.
using Remarks = std::map<std::string, std::string, std::less<>>;

/// A commented job file that holds every setting with the job's value; those without a fixed
/// default stand there commented out.
[[nodiscard]] std::string job_file_text(const Job& job, const Remarks& remarks = {});

}  // namespace paleproof::app
