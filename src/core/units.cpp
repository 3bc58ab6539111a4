// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/units.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <utility>

#include "core/error.h"
#include "core/format.h"

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

std::optional<Mm> length_of(std::string_view text) {
    const auto number = leading_number(text);
    if (!number) return std::nullopt;
    const auto [value, unit] = *number;
    if (unit == "mm") return Mm{value};
    if (unit == "cm") return Mm{value * 10.0};
    if (unit == "in" || unit == "\"") return from_inches(value);
    if (unit == "pt") return from_points(value);
    return std::nullopt;
}

std::optional<double> share_of(std::string_view text) {
    const auto number = leading_number(text);
    if (!number) return std::nullopt;
    if (number->second == "%") return number->first / 100.0;
    return number->second.empty() ? std::optional(number->first) : std::nullopt;
}

/// "3,5MM" -> "3.5mm": a decimal comma, capitals.
std::string without_slips(std::string_view text) {
    std::string meant = lower_case(text);
    std::ranges::replace(meant, ',', '.');
    return meant;
}

[[noreturn]] void refuse(std::string_view what, std::string_view expected, std::string_view found,
                         const std::string& hint = {}) {
    throw Error(ErrorKind::range, std::string(what),
                "expected " + std::string(expected) + ", got '" + std::string(found) + "'" + hint);
}

}  // namespace

Mm parse_signed_length(std::string_view text, std::string_view what) {
    if (const auto length = length_of(text)) return *length;
    const std::string meant = without_slips(text);
    refuse(what, "a length with a unit, like 3mm, 0.125in or 7pt", text,
           length_of(meant) ? "; did you mean " + meant + "?" : "");
}

Mm parse_length(std::string_view text, std::string_view what) {
    const Mm length = parse_signed_length(text, what);
    if (length.value < 0.0) {
        refuse(what, "a length of 0mm or more", text);
    }
    return length;
}

double parse_share(std::string_view text, std::string_view what, double most) {
    const auto within = [most](std::optional<double> share) {
        return share && *share >= 0.0 && *share <= most;
    };
    const auto share = share_of(text);
    if (within(share)) return *share;
    // A bare 12 is a percentage whose sign was left out.
    std::string hint;
    for (const std::string& meant : {without_slips(text), std::string(text) + "%"}) {
        if (hint.empty() && within(share_of(meant))) hint = "; did you mean " + meant + "?";
    }
    refuse(what,
           std::string("a share like ") + (most > 1.0 ? "300% or 3.0" : "12% or 0.12") +
               ", from 0% to " + fixed(most * 100.0, 0) + "%",
           text, hint);
}

}  // namespace paleproof
