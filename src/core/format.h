// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "core/units.h"

namespace paleproof {

/// Decimal text with a fixed count of digits and a point, whatever the locale; never "-0.00".
[[nodiscard]] std::string fixed(double value, int digits);

/// 0.1234 -> "12.3 %": for text meant for people only.
[[nodiscard]] std::string percent(double share, int digits = 1);

/// "63.5 mm"; trailing zeros of at most two digits are dropped.
[[nodiscard]] std::string millimeters(Mm length);

/// A to Z as a to z, whatever the locale; other letters stay as they are.
[[nodiscard]] std::string lower_case(std::string text);

/// The text in the list nearest to `word` by edit distance, or "" when none is near; for "did you
/// mean" in messages.
[[nodiscard]] std::string nearest_word(const std::string& word,
                                       std::span<const std::string_view> words);

}  // namespace paleproof
