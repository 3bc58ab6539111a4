// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// A document that points into nothing sends its reader away.
#include <doctest/doctest.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "rules/source_tree.h"

using paleproof::test::files_below;
using paleproof::test::SourceFile;

namespace {

namespace fs = std::filesystem;

/// The anchor that common renderers of Markdown give a heading: small letters, hyphens for
/// blanks, other signs dropped.
std::string anchor_of(const std::string& heading) {
    std::string anchor;
    for (const char sign : heading) {
        const auto code = static_cast<unsigned char>(sign);
        if (std::isalnum(code) != 0 || sign == '-' || sign == '_') {
            anchor += static_cast<char>(std::tolower(code));
        } else if (sign == ' ') {
            anchor += '-';
        }
    }
    return anchor;
}

std::set<std::string> anchors_of(const SourceFile& document) {
    std::set<std::string> anchors;
    for (const std::string& line : document.lines) {
        const std::size_t level = line.find_first_not_of('#');
        if (level != std::string::npos && level > 0 && line[level] == ' ') {
            anchors.insert(anchor_of(line.substr(level + 1)));
        }
    }
    return anchors;
}

std::vector<SourceFile> documents() {
    std::vector<SourceFile> found = files_below({"docs", "fixtures", "src", "tests"}, {".md"});
    for (const char* name : {"README.md", "DEVELOPERS.md"}) {
        SourceFile file{name, {}};
        std::ifstream stream(fs::path(PALEPROOF_ROOT) / name, std::ios::binary);
        for (std::string line; std::getline(stream, line);) file.lines.push_back(line);
        found.push_back(std::move(file));
    }
    return found;
}

}  // namespace

TEST_CASE("links between the documents lead somewhere") {
    const std::regex link(R"(\]\(([^)\s]+)\))");
    const auto all = documents();
    int links = 0;
    for (const SourceFile& document : all) {
        for (const std::string& line : document.lines) {
            for (std::sregex_iterator at(line.begin(), line.end(), link), end; at != end; ++at) {
                const std::string target = (*at)[1];
                if (target.find("://") != std::string::npos) continue;
                ++links;
                const std::size_t hash = target.find('#');
                const std::string path = target.substr(0, hash);
                const fs::path here = fs::path(PALEPROOF_ROOT) / document.path;
                const fs::path there = path.empty() ? here : here.parent_path() / path;
                CHECK_MESSAGE(fs::exists(there), document.path, " points to ", target);
                if (hash == std::string::npos || there.extension() != ".md") continue;
                const auto known = std::find_if(all.begin(), all.end(), [&](const auto& other) {
                    return fs::weakly_canonical(fs::path(PALEPROOF_ROOT) / other.path) ==
                           fs::weakly_canonical(there);
                });
                REQUIRE_MESSAGE(known != all.end(), target);
                CHECK_MESSAGE(anchors_of(*known).contains(target.substr(hash + 1)), document.path,
                              " points to ", target);
            }
        }
    }
    CHECK(links > 10);
}
