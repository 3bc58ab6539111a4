// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <atomic>
#include <cstddef>
#include <vector>

#include "app/output_folder.h"
#include "core/result.h"
#include "report/html.h"

namespace paleproof::app {

/// report.html of an edition and the pictures that lie beside it. While faces are finished their
/// pictures wait in memory only as long as the page could still hold them; from then on they are
/// staged at once, so that memory does not grow with the deck. What is written does not depend on
/// the order in which faces are finished.
class ReportFiles {
  public:
    explicit ReportFiles(OutputFolder& out) : out_(out) {}

    /// Takes care of the pictures of a face that is finished; `index` is its place in the deck. May
    /// be called by several threads. Error{file} when the disk refuses.
    void keep(FaceResult& face, std::size_t index);
    /// Stages the page, and what of its pictures is to lie beside it.
    void write(EditionResult& edition);

  private:
    void put_beside(const std::vector<report::ReportPicture>& pictures);

    OutputFolder& out_;
    std::atomic<std::size_t> seen_ = 0;  ///< bytes of all pictures so far
    std::atomic<bool> beside_ = false;
};

}  // namespace paleproof::app
