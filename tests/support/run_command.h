// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <stdexcept>
#include <string>

namespace paleproof::test {

struct CommandResult {
    int status = 0;      ///< exit status; 128 + signal when the command was killed
    std::string output;  ///< stdout and stderr as they came
};

/// Runs a line of shell and waits for it. Quote paths with quoted().
inline CommandResult run_command(const std::string& line) {
    const std::string both = "( " + line + " ) 2>&1";
    FILE* pipe = popen(both.c_str(), "r");
    if (pipe == nullptr) {
        throw std::runtime_error("cannot start: " + line);
    }
    CommandResult result;
    std::array<char, 65536> buffer;
    std::size_t count = 0;
    while ((count = fread(buffer.data(), 1, buffer.size(), pipe)) > 0) {
        result.output.append(buffer.data(), count);
    }
    const int raw = pclose(pipe);
    result.status = WIFEXITED(raw) ? WEXITSTATUS(raw) : 128 + WTERMSIG(raw);
    return result;
}

/// Whether the shell finds a program of this name.
inline bool has_command(const std::string& name) {
    return run_command("command -v " + name).status == 0;
}

/// Text as one word of the shell.
inline std::string quoted(const std::string& text) {
    std::string word = "'";
    for (const char c : text) {
        if (c == '\'') {
            word += "'\\''";
        } else {
            word += c;
        }
    }
    return word + "'";
}

}  // namespace paleproof::test
