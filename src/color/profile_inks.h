// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>

#include "color/icc_curves.h"

namespace paleproof::color {

/// From sRGB to the inks of a printing condition, through its profile, with black point
/// compensation. Exact and slow: InkTable makes a table of it.
class ProfileInks {
  public:
    /// A CMYK or gray output profile; Error{format} with `subject` when it cannot be read that way.
    ProfileInks(std::shared_ptr<const OpenProfile> profile, bool cmyk, lcms::Intent intent,
                const std::string& subject);

    /// Fills `inks` (c, m, y, k, each 0..65535) for `colors` (three codes each); k alone with a
    /// gray profile.
    void operator()(std::span<const std::uint8_t> colors, std::span<std::uint16_t> inks) const;

  private:
    std::shared_ptr<const OpenProfile> profile_;  // outlives the transform
    bool cmyk_;
    lcms::Transform to_inks_;
};

}  // namespace paleproof::color
