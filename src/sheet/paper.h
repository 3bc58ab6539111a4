// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

#include "core/geometry.h"

namespace paleproof::sheet {

/// A paper that sheets are printed on. Upright: width <= height.
struct Paper {
    std::string name;  ///< "Letter", "A4", "200 x 300 mm"
    SizeMm size;
};

/// "letter", "A4", "200x300mm", "8.5x11in" -> paper, in any case. Error{range} with the nearest
/// name for anything else; each side must be 50 to 2000 mm. A lying measure is stood upright:
/// which way a sheet lies is decided by its grid.
[[nodiscard]] Paper parse_paper(std::string_view text, std::string_view what);

/// Part of a file name: "letter", "a4", "200x300mm".
[[nodiscard]] std::string paper_slug(const Paper& paper);

}  // namespace paleproof::sheet
