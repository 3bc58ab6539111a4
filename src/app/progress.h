// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>
#include <stop_token>
#include <string_view>

namespace paleproof::app {

/// How a run tells how far it is and learns that it should stop. Both may be left empty.
struct Progress {
    /// Called from one thread at a time: "survey", 12 of 54.
    std::function<void(std::string_view stage, std::size_t done, std::size_t total)> report;
    std::stop_token stop;
};

/// Thrown between two faces when a stop was asked for; nothing has been put in place.
struct Interrupted {};

}  // namespace paleproof::app
