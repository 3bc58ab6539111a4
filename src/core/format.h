// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <concepts>
#include <cstdint>
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
[[nodiscard]] std::string lower_case(std::string_view text);

/// A number in at least `digits` hexadecimal digits, zeros in front: "00ff", and "00FF".
[[nodiscard]] std::string hex(std::uint64_t value, int digits);
[[nodiscard]] std::string upper_hex(std::uint64_t value, int digits);

/// "1 face", "3 faces"
[[nodiscard]] std::string counted(std::integral auto count, std::string_view one,
                                  std::string_view many) {
    std::string text = std::to_string(count);
    text += ' ';
    return text += count == 1 ? one : many;
}

/// The text in the list nearest to `word` by edit distance, capitals or not, or "" when none is
/// near.
[[nodiscard]] std::string nearest_word(std::string_view word,
                                       std::span<const std::string_view> words);

/// What `word` could have been meant for, at the end of a message: "; did you mean margin?" or "".
[[nodiscard]] std::string did_you_mean(std::string_view word,
                                       std::span<const std::string_view> words);

}  // namespace paleproof
