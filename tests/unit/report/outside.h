// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <fstream>
#include <string>

#include "support/run_command.h"

namespace paleproof::test {

/// Runs a Python script on a file that holds `content`; the script finds its path in sys.argv[1]
/// and the root of the sources in sys.argv[2]. Debian's interpreter, as its modules come from
/// Debian packages.
inline CommandResult python_on(const std::string& script, const std::string& content) {
    const std::filesystem::path folder = PALEPROOF_SCRATCH;
    std::filesystem::create_directories(folder);
    const std::string input = (folder / "input").string();
    const std::string program = (folder / "program.py").string();
    std::ofstream(input, std::ios::binary) << content;
    std::ofstream(program, std::ios::binary) << script;
    return run_command("/usr/bin/python3 -W ignore " + quoted(program) + " " + quoted(input) + " " +
                       quoted(PALEPROOF_ROOT));
}

}  // namespace paleproof::test
