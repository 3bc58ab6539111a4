// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/format.h"

#include <fmt/core.h>

#include <algorithm>
#include <numeric>
#include <utility>
#include <vector>

namespace paleproof {

std::string fixed(double value, int digits) {
    std::string text = fmt::format("{:.{}f}", value, digits);
    if (text.front() == '-' && text.find_first_not_of("-0.") == std::string::npos) {
        text.erase(0, 1);
    }
    return text;
}

std::string percent(double share, int digits) { return fixed(share * 100.0, digits) + " %"; }

std::string millimeters(Mm length) {
    std::string text = fixed(length.value, 2);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') {
        text.pop_back();
    }
    return text + " mm";
}

std::string hex(std::uint64_t value, int digits) { return fmt::format("{:0{}x}", value, digits); }

std::string upper_hex(std::uint64_t value, int digits) {
    return fmt::format("{:0{}X}", value, digits);
}

std::string lower_case(std::string_view text) {
    std::string result(text);
    for (char& c : result) {
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    }
    return result;
}

namespace {

/// Insertions, deletions, replacements and swaps of neighbors that turn `a` into `b`, each letter
/// touched once (optimal string alignment), three rows at a time.
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    std::vector<std::size_t> above;
    std::vector<std::size_t> two_above;
    for (std::size_t i = 0; i < a.size(); ++i) {
        two_above = std::exchange(above, row);
        row[0] = i + 1;
        for (std::size_t j = 0; j < b.size(); ++j) {
            row[j + 1] =
                std::min({above[j + 1] + 1, row[j] + 1, above[j] + (a[i] == b[j] ? 0U : 1U)});
            if (i > 0 && j > 0 && a[i] == b[j - 1] && a[i - 1] == b[j]) {
                row[j + 1] = std::min(row[j + 1], two_above[j - 1] + 1);
            }
        }
    }
    return row.back();
}

}  // namespace

std::string nearest_word(std::string_view word, std::span<const std::string_view> words) {
    std::string best;
    std::size_t best_distance = std::max<std::size_t>(word.size() / 2, 1) + 1;
    for (const std::string_view candidate : words) {
        const std::size_t distance = edit_distance(lower_case(word), lower_case(candidate));
        if (distance < best_distance) {
            best_distance = distance;
            best = candidate;
        }
    }
    return best;
}

std::string did_you_mean(std::string_view word, std::span<const std::string_view> words) {
    const std::string near = nearest_word(word, words);
    return near.empty() ? "" : "; did you mean " + near + "?";
}

}  // namespace paleproof
