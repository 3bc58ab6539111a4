// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
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

/// The PDFs of an edition, laid out: sheets-PAPER.pdf for each of the job's papers and, for
/// pages_and_sheets, pages.pdf, one page a face in deck order.
class EditionPdfs {
  public:
    /// `record` and `job` must outlive this.
    EditionPdfs(const EditionRecord& record, const Job& job, Pdfs which, ProofSource proofs,
                FilePlace place);
    EditionPdfs(const EditionPdfs&) = delete;
    EditionPdfs& operator=(const EditionPdfs&) = delete;
    ~EditionPdfs();

    /// What is on the sheets.
    [[nodiscard]] std::vector<SheetResult> sheets() const;
    [[nodiscard]] std::size_t count() const;
    /// Writes one of `count()` files and names it; `proofs` and `place` are called. Several threads
    /// may write one each.
    std::string write(std::size_t index) const;

  private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

/// Writes changed-PAPER.pdf with the cards that changed since `before`, and changes.json. Papers of
/// which nothing is to be printed have no file.
[[nodiscard]] Changes write_changes(const EditionRecord& before, const EditionRecord& now,
                                    const Job& job, const ProofSource& proofs,
                                    const FilePlace& place);

/// Writes test-page-PAPER.pdf for each paper and names the files. Sheets lie as the edition's do.
[[nodiscard]] std::vector<std::string> write_test_pages(const EditionRecord& record, const Job& job,
                                                        const FilePlace& place);

}  // namespace paleproof::app
