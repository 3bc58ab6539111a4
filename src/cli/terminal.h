// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <chrono>
#include <functional>
#include <string>
#include <string_view>

namespace paleproof::cli {

/// Progress on standard error: one line that is written over on a terminal, nothing elsewhere.
class ProgressLine {
  public:
    explicit ProgressLine(bool quiet);
    ~ProgressLine();
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;

    /// Empty when nothing is to be shown.
    [[nodiscard]] std::function<void(std::string_view, std::size_t, std::size_t)> reporter();

  private:
    void show(std::string_view stage, std::size_t done, std::size_t total);
    bool on_;
    bool dirty_ = false;
    std::chrono::steady_clock::time_point last_;
};

}  // namespace paleproof::cli
