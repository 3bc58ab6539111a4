// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <filesystem>
#include <mutex>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace paleproof::app {

/// The folder of an edition while a new edition is made. Everything is written into a hidden folder
/// inside of it and put in place at the end (edition_switch.h), so that an edition that is there
/// stays whole until the new one is.
class OutputFolder {
  public:
    /// Makes the folder if need be and holds it: a second run into it is refused as long as this
    /// object lives. Finishes what an earlier run had sealed. Error{file} when the folder cannot be
    /// made or written, or is held by another run.
    explicit OutputFolder(std::filesystem::path folder);
    /// Removes what was staged and not committed.
    ~OutputFolder();
    OutputFolder(const OutputFolder&) = delete;
    OutputFolder& operator=(const OutputFolder&) = delete;

    /// Where `name` ("faces/a.png") is written before the commit; its folder exists.
    [[nodiscard]] std::filesystem::path staged(const std::string& name);
    /// Writes a whole file there. Error{file} when the disk refuses.
    void write(const std::string& name, std::string_view content);
    void write(const std::string& name, std::span<const std::uint8_t> content);

    /// A staged file is whole now: the disk may begin to take it while the next ones are made.
    /// Nobody waits, and no fault is told: commit() does both.
    void begin_flush(const std::string& name) const;

    /// The names staged so far, in order.
    [[nodiscard]] std::vector<std::string> names() const;

    /// A file of the user's: commit() throws Error{file}, before anything is replaced, when the
    /// edition would take its place.
    void protect(const std::filesystem::path& file);

    /// Throws the same for names that are not staged yet: before any work is done. What the user
    /// puts there in the meantime is left to commit().
    void refuse_users_files(std::span<const std::string> names) const;

    /// Puts all staged files in place, edition.json last, and removes the files in `outdated` that
    /// were not staged (names relative to the folder; none leaves it, none is the user's). All of
    /// it has reached the disk before the old edition is touched.
    /// Error{file} when something is in the way; nothing is changed then.
    void commit(const std::vector<std::string>& outdated);

  private:
    std::filesystem::path folder_;
    std::filesystem::path staging_;
    int held_ = -1;  // the folder, opened and locked
    std::vector<std::filesystem::path> users_files_;
    std::mutex guard_;  // of names_: faces are written by several threads
    std::set<std::string> names_;
};

}  // namespace paleproof::app
