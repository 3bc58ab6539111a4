// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <string>

#include "support/run_command.h"
#include "support/scratch.h"

namespace paleproof::test {

/// Runs the built tool with the arguments as the shell would.
inline CommandResult run_tool(const std::string& arguments) {
    return run_command(quoted(PALEPROOF_BINARY) + " " + arguments);
}

inline nlohmann::json json_of(const std::filesystem::path& file) {
    return nlohmann::json::parse(read_text(file));
}

/// Content of every file below a folder by its name.
inline std::map<std::string, std::string> content_of(const std::filesystem::path& folder) {
    std::map<std::string, std::string> content;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
        // What the tool keeps for its next run is no part of an edition.
        const bool kept =
            entry.path().generic_string().find("/.paleproof-cache/") != std::string::npos;
        if (entry.is_regular_file() && !kept) {
            content[entry.path().lexically_relative(folder).generic_string()] =
                read_text(entry.path());
        }
    }
    return content;
}

/// The edition of the demo deck, made once for all cases of this program.
inline const std::filesystem::path& demo_edition() {
    static const std::filesystem::path folder = [] {
        const std::filesystem::path out = std::filesystem::path(PALEPROOF_SCRATCH) / "demo-edition";
        std::filesystem::remove_all(out);
        const auto made =
            run_tool("make " + quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv") + " -o " +
                     quoted(out.string()));
        if (made.status != 0 && made.status != 3) throw std::runtime_error(made.output);
        return out;
    }();
    return folder;
}

}  // namespace paleproof::test
