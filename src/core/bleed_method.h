// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string_view>

namespace paleproof {

/// How an edge of a proof comes by its bleed.
enum class BleedMethod {
    none,     ///< the proof stops at the trim
    present,  ///< the source has it already
    flat,     ///< a border of one color goes on, with its own noise
    carry,    ///< "continue": tones and lines go on outward, fine detail is reflected along them
    pattern,  ///< what repeats goes on in phase
    mirror,   ///< the art is reflected, its outermost row repeated once: as busy as the art
    stretch,  ///< the outermost row or column is repeated
};

[[nodiscard]] constexpr std::string_view name(BleedMethod method) {
    switch (method) {
        case BleedMethod::none:
            return "none";
        case BleedMethod::present:
            return "present";
        case BleedMethod::flat:
            return "flat";
        case BleedMethod::carry:
            return "continue";
        case BleedMethod::pattern:
            return "pattern";
        case BleedMethod::stretch:
            return "stretch";
        case BleedMethod::mirror:
            return "mirror";
    }
    return "";
}

/// What of the art makes the bleed, for people; "" where none is made.
[[nodiscard]] constexpr std::string_view added_by(BleedMethod method) {
    switch (method) {
        case BleedMethod::flat:
            return "border";
        case BleedMethod::carry:
            return "art continued";
        case BleedMethod::pattern:
            return "pattern in phase";
        case BleedMethod::stretch:
            return "edge drawn out";
        case BleedMethod::mirror:
            return "mirrored art";
        case BleedMethod::none:
        case BleedMethod::present:
            return "";
    }
    return "";
}

}  // namespace paleproof
