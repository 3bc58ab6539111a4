// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "sheet/qpdf.h"  // before all others

#include <xxhash.h>

#include <filesystem>
#include <memory>
#include <vector>

namespace paleproof::sheet {

/// The end of qpdf's pipeline: a file on the disk, whose ID (ISO 32000-1, 14.4) comes from its own
/// bytes. qpdf's deterministic ID is an MD5 of the same bytes, which took longer than all the rest
/// of its writing. Here the writer is asked for its static ID, and both of its halves are filled in
/// with the XXH3-128 of what was written.
///
/// Errors: none while qpdf writes, whose pipelines end in destructors; close_with_id() throws
/// std::runtime_error when anything could not be written, or when no static ID is at the end.
class PdfFile : public Pipeline {
  public:
    explicit PdfFile(const std::filesystem::path& file);
    PdfFile(const PdfFile&) = delete;
    PdfFile& operator=(const PdfFile&) = delete;
    ~PdfFile() override;

    void write(unsigned char const* data, size_t size) override;
    void finish() override;

    /// Once, after the writer is done: fills in the ID and closes the file.
    void close_with_id();

  private:
    void put(const char* data, std::size_t size);
    void fill_in_id();

    int fd_ = -1;
    int fault_ = 0;              ///< errno of the first call that failed; none is made after it
    std::vector<char> waiting_;  ///< qpdf writes in pieces of a few bytes
    std::unique_ptr<XXH3_state_t, decltype(&XXH3_freeState)> hash_;
};

}  // namespace paleproof::sheet
