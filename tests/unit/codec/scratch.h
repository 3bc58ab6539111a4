// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <doctest/doctest.h>

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "support/run_command.h"

namespace paleproof::test {

/// A folder of its own, removed at the end, also after a failure.
class Scratch {
  public:
    explicit Scratch(const std::string& name)
        : folder_(std::filesystem::path(PALEPROOF_SCRATCH) / name) {
        std::filesystem::remove_all(folder_);
        std::filesystem::create_directories(folder_);
    }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;
    ~Scratch() {
        std::error_code ignored;
        std::filesystem::remove_all(folder_, ignored);
    }
    [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }
    [[nodiscard]] std::filesystem::path file(const std::string& name) const {
        return folder_ / name;
    }
    std::filesystem::path put(const std::string& name, const std::vector<std::uint8_t>& bytes) {
        std::ofstream out(file(name), std::ios::binary);
        out.write(reinterpret_cast<const char*>(bytes.data()),
                  static_cast<std::streamsize>(bytes.size()));
        return file(name);
    }

  private:
    std::filesystem::path folder_;
};

inline std::vector<std::uint8_t> file_content(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

/// Runs a tool that the test cannot do without.
inline void must_run(const std::string& line) {
    const CommandResult result = run_command(line);
    INFO(line);
    INFO(result.output);
    REQUIRE(result.status == 0);
}

}  // namespace paleproof::test
