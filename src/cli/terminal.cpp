// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "cli/terminal.h"

#include <unistd.h>

#include <iostream>

namespace paleproof::cli {

ProgressLine::ProgressLine(bool quiet) : on_(!quiet && isatty(STDERR_FILENO) == 1) {}

ProgressLine::~ProgressLine() {
    if (dirty_) std::cerr << "\r\x1b[K" << std::flush;
}

std::function<void(std::string_view, std::size_t, std::size_t)> ProgressLine::reporter() {
    if (!on_) return {};
    return [this](std::string_view stage, std::size_t done, std::size_t total) {
        show(stage, done, total);
    };
}

void ProgressLine::show(std::string_view stage, std::size_t done, std::size_t total) {
    const auto now = std::chrono::steady_clock::now();
    if (done != total && now - last_ < std::chrono::milliseconds(50)) return;
    last_ = now;
    dirty_ = true;
    std::cerr << "\r\x1b[K" << stage << "  " << done << " of " << total << std::flush;
}

}  // namespace paleproof::cli
