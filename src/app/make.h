// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/changes.h"
#include "app/exit_status.h"
#include "app/job.h"
#include "app/progress.h"
#include "core/result.h"

namespace paleproof::app {

struct MadeEdition {
    EditionResult result;
    std::string report_json;
    ExitStatus status = ExitStatus::done;
    int reused = 0;  ///< proofs that did not change since the edition that was there
    std::optional<Changes> changes;  ///< when the job names an earlier edition
    /// Against the edition that was in the folder before; told in the terminal alone, as the files
    /// of an edition depend on nothing but the job.
    std::optional<Changes> changed_here{};
};

/// What imposing an edition again gave.
struct ImposedAgain {
    std::vector<SheetResult> sheets;
    std::optional<Changes> changes;
    std::vector<std::string> test_pages;
};

/// The whole edition into job.out. What is there stays whole until the new edition is; files of
/// the old one that the new one has no use for are removed.
/// Errors  Error for input or output that cannot be used at all; Interrupted. A face that cannot be
///         read is a finding, and the status says not_done.
[[nodiscard]] MadeEdition make(const Job& job, const Progress& progress);

/// Survey and findings, nothing written; `report_json` stays empty unless asked for.
[[nodiscard]] MadeEdition check(const Job& job, const Progress& progress, bool with_json);

/// Takes the sheet settings of the edition in `out` into `job`, as a start for impose_again.
/// Error{file} or Error{format} when `out` holds no edition of this version.
void take_recorded_options(const std::filesystem::path& out, Job& job);

/// Imposes the edition in job.out again with the job's sheet settings; proofs are taken as they
/// are. Sheets of papers that are not asked for any more are removed. With job.changed_since the
/// sheets of all cards stay as they are, and those of changed cards come beside them; with
/// job.test_page its test pages come.
[[nodiscard]] ImposedAgain impose_again(const Job& job, const Progress& progress);

/// "cards/" -> "cards-edition" beside it; "deck.csv" -> "deck-edition".
[[nodiscard]] std::filesystem::path default_out(const std::filesystem::path& source);

/// Error{file} when no file can be written there, as it is a folder or lies in none: told before
/// the work whose result it is for.
void refuse_no_place(const std::filesystem::path& file);

/// Writes a text file whole or not at all.
void write_whole_file(const std::filesystem::path& file, std::string_view text);

/// The same, but refuses to replace a file.
void write_new_file(const std::filesystem::path& file, std::string_view text);

}  // namespace paleproof::app
