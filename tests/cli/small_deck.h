// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <fstream>
#include <string>

#include "cli/tool.h"

namespace paleproof::test {

/// deck/ below a folder: two faces and a back of the demo deck, and deck/deck.csv.
inline void write_small_deck(const std::filesystem::path& folder) {
    const std::filesystem::path deck = folder / "deck";
    std::filesystem::create_directories(deck);
    for (const char* name : {"lampwing.png", "rosy-underleaf.jpg", "back-orchard.png"}) {
        std::filesystem::copy_file(std::filesystem::path(PALEPROOF_DEMO_DECK) / name, deck / name);
    }
    std::ofstream(deck / "deck.csv") << "face,name,copies,back\n"
                                        "lampwing.png,Lampwing,2,back-orchard.png\n"
                                        "rosy-underleaf.jpg,Rosy Underleaf,1,back-orchard.png\n";
}

/// A command line of a document, run by the built tool in `folder`.
inline CommandResult run_shown(const std::filesystem::path& folder, const std::string& line) {
    const std::string tool = std::filesystem::path(PALEPROOF_BINARY).parent_path().string();
    return run_command("cd " + quoted(folder.string()) + " && export PATH=" + quoted(tool) +
                       ":$PATH && " + line);
}

}  // namespace paleproof::test
