// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/units.h"

#include <charconv>
#include <cmath>
#include <optional>
#include <utility>

#include "core/error.h"

namespace paleproof {
namespace {

/// A decimal number at the start of `text` in the classic locale; what follows it is the rest.
std::optional<std::pair<double, std::string_view>> leading_number(std::string_view text) {
    double value = 0.0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (fault != std::errc{} || !std::isfinite(value)) {
        return std::nullopt;
    }
    text.remove_prefix(static_cast<std::size_t>(end - text.data()));
    while (!text.empty() && text.front() == ' ') {
        text.remove_prefix(1);
    }
    return std::pair{value, text};
}

[[noreturn]] void refuse(std::string_view what, std::string_view expected, std::string_view found,
                         const std::string& hint = {}) {
    throw Error(ErrorKind::range, std::string(what),
                "expected " + std::string(expected) + ", got '" + std::string(found) + "'" + hint);
}

}  // namespace

Mm parse_signed_length(std::string_view text, std::string_view what) {
    constexpr std::string_view expected = "a length with a unit, like 3mm, 0.125in or 7pt";
    const auto number = leading_number(text);
    if (!number) {
        refuse(what, expected, text);
    }
    const auto [value, unit] = *number;
    if (unit == "mm") return {value};
    if (unit == "cm") return {value * 10.0};
    if (unit == "in" || unit == "\"") return from_inches(value);
    if (unit == "pt") return from_points(value);
    refuse(what, expected, text);
}

Mm parse_length(std::string_view text, std::string_view what) {
    const Mm length = parse_signed_length(text, what);
    if (length.value < 0.0) {
        refuse(what, "a length of 0mm or more", text);
    }
    return length;
}

double parse_share(std::string_view text, std::string_view what) {
    constexpr std::string_view expected = "a share like 12% or 0.12, from 0% to 100%";
    const auto number = leading_number(text);
    if (!number || (!number->second.empty() && number->second != "%")) {
        refuse(what, expected, text);
    }
    const double share = number->second == "%" ? number->first / 100.0 : number->first;
    if (share < 0.0 || share > 1.0) {
        const bool bare = number->second.empty() && share > 1.0 && share <= 100.0;
        refuse(what, expected, text, bare ? "; did you mean " + std::string(text) + "%?" : "");
    }
    return share;
}

}  // namespace paleproof
