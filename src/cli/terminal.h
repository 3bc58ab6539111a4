// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <chrono>
#include <functional>
#include <string>
#include <string_view>

namespace paleproof::cli {

/// Progress on standard error: a bar that is written over on a terminal, elsewhere a plain line
/// when a stage ends and every few seconds before; nothing when quiet.
class ProgressLine {
  public:
    explicit ProgressLine(bool quiet);
    ~ProgressLine();
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;

    /// Empty when nothing is to be shown.
    [[nodiscard]] std::function<void(std::string_view, std::size_t, std::size_t)> reporter();

  private:
    using Clock = std::chrono::steady_clock;
    void show(std::string_view stage, std::size_t done, std::size_t total);
    bool on_;
    bool terminal_;
    bool dirty_ = false;
    std::string stage_;
    Clock::time_point started_;  ///< of the stage
    Clock::time_point last_;
};

/// Whether a stream takes colors: a terminal, no NO_COLOR in the environment (no-color.org), and
/// not TERM=dumb. Colors only repeat what words say.
[[nodiscard]] bool takes_color(int file_descriptor);

/// A summary with its labels bold and its severities in color.
[[nodiscard]] std::string painted(std::string_view text);

/// Writes results to standard output, painted where it takes color; a progress bar goes first.
void print_results(std::string_view text);

}  // namespace paleproof::cli
