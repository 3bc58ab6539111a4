// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <mutex>
#include <string>
#include <string_view>
#include <vector>

namespace paleproof::app {

/// The folder of an edition while a new edition is made. Everything is written into a hidden folder
/// inside of it and put in place by renames at the end, so that an edition that is there stays
/// whole until the new one is.
class OutputFolder {
  public:
    /// Makes the folder if need be. Error{file} when it cannot be made or written.
    explicit OutputFolder(std::filesystem::path folder);
    /// Removes what was staged and not committed.
    ~OutputFolder();
    OutputFolder(const OutputFolder&) = delete;
    OutputFolder& operator=(const OutputFolder&) = delete;

    /// Where `name` ("faces/a.png") is written before the commit; its folder exists.
    [[nodiscard]] std::filesystem::path staged(const std::string& name);
    /// Writes a whole file there. Error{file} when the disk refuses.
    void write(const std::string& name, std::string_view content);

    /// The names staged so far, in order.
    [[nodiscard]] std::vector<std::string> names() const;

    /// Renames all staged files into place, edition.json last, then removes the files in
    /// `outdated` that were not staged (names relative to the folder; none leaves it).
    void commit(const std::vector<std::string>& outdated);

  private:
    std::filesystem::path folder_;
    std::filesystem::path staging_;
    std::mutex guard_;  // of names_: faces are written by several threads
    std::vector<std::string> names_;
};

}  // namespace paleproof::app
