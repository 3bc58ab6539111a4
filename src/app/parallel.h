// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>
#include <string_view>

#include "app/progress.h"

namespace paleproof::app {

/// Calls work(0) .. work(count - 1) on `threads` threads (0 = one per core), reporting progress.
/// The order of the calls is not fixed; each must touch its own data only. Throws Interrupted when
/// a stop was asked for, else the first exception of a call.
void for_each_index(std::size_t count, unsigned threads, std::string_view stage,
                    const Progress& progress, const std::function<void(std::size_t)>& work);

/// Hands what the faces needed and nobody needs any longer back to the system; takes milliseconds.
void give_memory_back();

}  // namespace paleproof::app
