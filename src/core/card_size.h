// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "core/geometry.h"

namespace paleproof {

/// A card size of the trade. Common practice, no standard behind it, save id-1 (ISO/IEC 7810) and
/// b8 (ISO 216). Upright: width <= height.
struct NamedSize {
    std::string_view name;
    SizeMm size;
};

/// The usual sizes, most usual first: when two fit equally well, the first one is taken.
[[nodiscard]] std::span<const NamedSize> named_sizes();

/// "poker", "63x88mm", "2.5x3.5in", "63mm x 88mm" -> size. Error{range} with the nearest name for
/// anything else; each side must be 10 to 500 mm.
[[nodiscard]] SizeMm parse_size(std::string_view text, std::string_view what);

/// "poker (63.5 x 88.9 mm)", or "63 x 90 mm" for a size without a name; lying sizes say so.
[[nodiscard]] std::string size_text(SizeMm size);

}  // namespace paleproof
