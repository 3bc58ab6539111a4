// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <string_view>

namespace paleproof::color {

/// A limit on the total coverage at one place (tone value sum, 0..4) and who states it.
struct TotalInkLimit {
    std::string_view condition;
    double limit;
    std::string_view source;
};

/// The limits that the built-in profiles were made with: fixtures/icc/README.md.
inline constexpr double uncoated_limit = 3.00;
inline constexpr double coated_limit = 3.30;

/// Limits by printing condition, for choosing `[ink] total_limit`.
inline constexpr std::array total_ink_limits = {
    TotalInkLimit{"coated, sheet-fed offset (FOGRA39)", 3.30,
                  "ECI profile ISOcoated_v2, as compared on a print portal's help page"},
    TotalInkLimit{"coated, sheet-fed offset, reduced (FOGRA39)", 3.00,
                  "ECI profile ISOcoated_v2_300, same page"},
    TotalInkLimit{"sheet-fed offset, highest", 3.50, "ISO 12647-2 (from memory)"},
    TotalInkLimit{"heat-set web offset", 3.00, "ISO 12647-2 (from memory)"},
    TotalInkLimit{"web offset publications (SWOP)", 3.00, "trade pages; SWOP itself from memory"},
    TotalInkLimit{"gravure", 3.60, "ECI profile PSR_PLUS_V2, same print portal page"},
    TotalInkLimit{"newsprint (ISOnewspaper26)", 2.40, "ISO 12647-3, by a trade forum"},
    TotalInkLimit{"newsprint, 2013 edition", 2.20, "ISO 12647-3:2013 (from memory)"},
    TotalInkLimit{"home inkjet on plain paper", 2.40, "common practice (2.0 to 2.6), no source"},
};

}  // namespace paleproof::color
