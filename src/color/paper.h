// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <memory>

#include "color/icc_curves.h"
#include "color/separation.h"

namespace paleproof::color {

/// What inks look like on the paper of a printing condition: a profile read from inks to color,
/// absolute colorimetric.
class Paper {
  public:
    /// A CMYK or gray profile; Error{format} with `subject` when it cannot be read that way.
    Paper(std::shared_ptr<const OpenProfile> profile, bool cmyk, const std::string& subject);

    /// CIELAB, D50. With a gray profile k alone counts.
    [[nodiscard]] Lab view(const CmykShare& inks) const;

    /// Y 0..1 of a gray code printed as k = 1 - code / 255.
    [[nodiscard]] double luminance_of_gray(std::uint8_t code) const { return grays_[code]; }

  private:
    std::shared_ptr<const OpenProfile> profile_;
    bool cmyk_;
    lcms::Transform to_lab_;
    std::array<double, 256> grays_{};
};

}  // namespace paleproof::color
