// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string_view>

namespace paleproof {

/// How an edge of a proof comes by its bleed.
enum class BleedMethod {
    none,       ///< the proof stops at the trim
    present,    ///< the source has it already
    replicate,  ///< the outermost row or column is repeated: exact on flat edges
    mirror      ///< the art is reflected, its outermost row repeated once: as busy as the art
};

[[nodiscard]] constexpr std::string_view name(BleedMethod method) {
    switch (method) {
        case BleedMethod::none:
            return "none";
        case BleedMethod::present:
            return "present";
        case BleedMethod::replicate:
            return "replicate";
        case BleedMethod::mirror:
            return "mirror";
    }
    return "";
}

}  // namespace paleproof
