// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <filesystem>
#include <map>
#include <stop_token>
#include <vector>

namespace paleproof::app {

/// What a file was like when it was looked at. A file that is not there has no state.
struct FileState {
    std::uintmax_t bytes = 0;
    std::filesystem::file_time_type written;
    friend bool operator==(const FileState&, const FileState&) = default;
};

using FileStates = std::map<std::filesystem::path, FileState>;

/// The files that an edition is made from: the job file, the deck list, the faces, the folder's
/// pictures. A SOURCE that cannot be used right now gives what could be found of it.
[[nodiscard]] FileStates look_at(const std::filesystem::path& source);

/// The files that differ between two looks: changed, new or gone, in the order of their names.
[[nodiscard]] std::vector<std::filesystem::path> changed_files(const FileStates& before,
                                                               const FileStates& now);

/// Whether a picture has its end: IEND of a PNG, EOI of a JPEG. Drawing programs write for a while;
/// what has no end yet is not read. True for files of another kind, and for those that are gone.
[[nodiscard]] bool has_its_end(const std::filesystem::path& file);

/// Waits until files of SOURCE differ from `made` and nothing is being written any more: two looks
/// alike, and every changed picture has its end, or has stood still for five seconds (a damaged
/// file is then told as such). Looks every 40 ms: a look at 500 files takes about a millisecond,
/// and works on network folders and with editors that replace files, where notices of the system
/// get lost. Returns the new states; `made` itself when a stop was asked for.
[[nodiscard]] FileStates wait_for_change(const std::filesystem::path& source,
                                         const FileStates& made, const std::stop_token& stop);

}  // namespace paleproof::app
