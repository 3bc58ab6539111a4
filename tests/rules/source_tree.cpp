// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "rules/source_tree.h"

#include <algorithm>
#include <fstream>
#include <regex>

namespace paleproof::test {

namespace fs = std::filesystem;

std::vector<SourceFile> files_below(const std::vector<std::string>& folders,
                                    const std::vector<std::string>& endings) {
    const fs::path root = PALEPROOF_ROOT;
    std::vector<SourceFile> files;
    for (const std::string& folder : folders) {
        for (const auto& entry : fs::recursive_directory_iterator(root / folder)) {
            const std::string ending = entry.path().extension().string();
            const bool hidden = entry.path().filename().string().starts_with('.');
            const bool cache = entry.path().string().find("__pycache__") != std::string::npos;
            if (!entry.is_regular_file() || hidden || cache ||
                (!endings.empty() && std::ranges::find(endings, ending) == endings.end())) {
                continue;
            }
            SourceFile file{fs::relative(entry.path(), root).generic_string(), {}};
            std::ifstream stream(entry.path(), std::ios::binary);
            for (std::string line; std::getline(stream, line);) file.lines.push_back(line);
            files.push_back(std::move(file));
        }
    }
    std::ranges::sort(files, {}, &SourceFile::path);
    return files;
}

std::vector<std::string> includes_of(const SourceFile& file) {
    static const std::regex pattern(R"(^\s*#\s*include\s*[<"]([^>"]+)[>"])");
    std::vector<std::string> result;
    for (const std::string& line : file.lines) {
        std::smatch match;
        if (std::regex_search(line, match, pattern)) result.push_back(match[1]);
    }
    return result;
}

}  // namespace paleproof::test
