// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "app/changes.h"
#include "app/edition_record.h"
#include "app/job.h"
#include "core/packed_image.h"
#include "core/result.h"

namespace paleproof::app {

/// The proof of a face of the record, as it was packed for its PNG or, a drawing, for the PDFs.
using ProofSource = std::function<PackedImage(std::size_t face)>;
/// Where a file of the edition is written: OutputFolder::staged.
using FilePlace = std::function<std::filesystem::path(const std::string& name)>;

enum class Pdfs { sheets, pages_and_sheets };

/// Writes sheets-PAPER.pdf for each of the job's papers, several at a time, and says what is on
/// them; for pages_and_sheets also pages.pdf, one page a face in deck order. `proofs` and `place`
/// are called from several threads.
[[nodiscard]] std::vector<SheetResult> write_pdfs(const EditionRecord& record, const Job& job,
                                                  Pdfs which, const ProofSource& proofs,
                                                  const FilePlace& place);

/// Writes changed-PAPER.pdf with the cards that changed since `before`, and changes.json. Papers of
/// which nothing is to be printed have no file.
[[nodiscard]] Changes write_changes(const EditionRecord& before, const EditionRecord& now,
                                    const Job& job, const ProofSource& proofs,
                                    const FilePlace& place);

/// Writes test-page-PAPER.pdf for each paper and names the files. Sheets lie as the edition's do.
[[nodiscard]] std::vector<std::string> write_test_pages(const EditionRecord& record, const Job& job,
                                                        const FilePlace& place);

}  // namespace paleproof::app
