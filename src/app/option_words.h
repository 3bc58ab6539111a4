// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <utility>

#include "app/option_values.h"
#include "app/options.h"
#include "core/format.h"

namespace paleproof::app {

/// The words that an option knows, with what each stands for.
template <class Value, std::size_t N>
using Words = std::array<std::pair<std::string_view, Value>, N>;

/// The value that a word stands for; refuses other words with all that may stand there.
template <class Value, std::size_t N>
Value word(const std::string& text, const char* key, const Words<Value, N>& words) {
    std::string expected;
    for (const auto& [name, value] : words) {
        if (text == name) return value;
        expected += (expected.empty() ? "" : ", ") + std::string(name);
    }
    std::array<std::string_view, N> names;
    std::ranges::transform(words, names.begin(), &std::pair<std::string_view, Value>::first);
    refuse(key, "one of " + expected, text, did_you_mean(text, names));
}

template <class Value, std::size_t N>
std::string_view word_of(Value value, const Words<Value, N>& words) {
    return std::ranges::find(words, value, &std::pair<std::string_view, Value>::second)->first;
}

}  // namespace paleproof::app
