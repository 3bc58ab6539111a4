// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "cli/terminal.h"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <iostream>
#include <utility>

namespace paleproof::cli {
namespace {

constexpr std::size_t widest_bar = 30;

std::size_t columns() {
    winsize size{};
    return ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col : 80U;
}

}  // namespace

ProgressLine::ProgressLine(bool quiet) : on_(!quiet), terminal_(isatty(STDERR_FILENO) == 1) {}

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
    const auto now = Clock::now();
    if (stage != stage_) {
        stage_ = stage;
        started_ = now;
        last_ = terminal_ ? Clock::time_point{} : now;
    }
    const auto pause = terminal_ ? std::chrono::milliseconds(50) : std::chrono::seconds(5);
    if (done != total && now - last_ < pause) return;
    last_ = now;
    const std::string count = std::to_string(done) + " of " + std::to_string(total);
    if (!terminal_) {
        if (done > 0) std::cerr << stage << "  " << count << "\n" << std::flush;
        return;
    }
    std::string line = std::string(stage) + "  ";
    const std::size_t used = line.size() + count.size() + 5;
    if (columns() > used + 10 && total > 0) {
        const std::size_t width = std::min(widest_bar, columns() - used);
        const std::size_t filled = std::min(width, width * done / total);
        line += '[';
        line.append(filled, '#').append(width - filled, '.').append("]  ");
    }
    dirty_ = true;
    std::cerr << "\r\x1b[K" << line << count << std::flush;
}

bool takes_color(int file_descriptor) {
    const auto value = [](const char* name) {
        const char* text = std::getenv(name);
        return std::string_view(text == nullptr ? "" : text);
    };
    return isatty(file_descriptor) == 1 && value("NO_COLOR").empty() && value("TERM") != "dumb";
}

std::string painted(std::string_view text) {
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 3> severities{{
        {"  error  ", "\x1b[1;31m"},
        {"  warning  ", "\x1b[1;33m"},
        {"  note  ", "\x1b[1;36m"},
    }};
    constexpr std::string_view plain = "\x1b[0m";
    std::string result;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size() - 1) + 1;
        std::string_view line = text.substr(0, end);
        text.remove_prefix(end);
        for (const auto& [word, color] : severities) {
            if (!line.starts_with(word)) continue;
            result += std::string(color) + std::string(word) + std::string(plain);
            line.remove_prefix(word.size());
        }
        // A label: a capital at the start of the line, and two blanks before what it names.
        const std::size_t gap = line.find("  ");
        if (!line.empty() && line[0] >= 'A' && line[0] <= 'Z' && gap < 11) {
            result += "\x1b[1m" + std::string(line.substr(0, gap)) + std::string(plain);
            line.remove_prefix(gap);
        }
        result += line;
    }
    return result;
}

void print_results(std::string_view text) {
    if (isatty(STDERR_FILENO) == 1) std::cerr << "\r\x1b[K" << std::flush;
    if (takes_color(STDOUT_FILENO)) {
        std::cout << painted(text) << std::flush;
    } else {
        std::cout << text << std::flush;
    }
}

}  // namespace paleproof::cli
