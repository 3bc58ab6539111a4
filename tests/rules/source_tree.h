// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace paleproof::test {

struct SourceFile {
    std::string path;  ///< from the project's root, with '/'
    std::vector<std::string> lines;
};

/// All regular files below the named folders of the project, in order of their paths. Build
/// folders and hidden files are left out.
std::vector<SourceFile> files_below(const std::vector<std::string>& folders,
                                    const std::vector<std::string>& endings);

/// The files named in the #include lines of a file, quotes or brackets taken off.
std::vector<std::string> includes_of(const SourceFile& file);

}  // namespace paleproof::test
