// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/profile_inks.h"

#include <lcms2.h>

#include <utility>
#include <vector>

namespace paleproof::color {

ProfileInks::ProfileInks(std::shared_ptr<const OpenProfile> profile, bool cmyk, lcms::Intent intent,
                         const std::string& subject)
    : profile_(std::move(profile)),
      cmyk_(cmyk),
      to_inks_(lcms::transform(
          profile_->context, lcms::srgb_profile(profile_->context), profile_->profile,
          {TYPE_RGB_8, cmyk ? static_cast<std::uint32_t>(TYPE_CMYK_16) : TYPE_GRAY_16_REV, intent,
           true, true},
          subject)) {}

void ProfileInks::operator()(std::span<const std::uint8_t> colors,
                             std::span<std::uint16_t> inks) const {
    const std::size_t count = colors.size() / 3;
    if (cmyk_) {
        lcms::apply(to_inks_, colors.data(), inks.data(), count);
        return;
    }
    std::vector<std::uint16_t> black(count);
    lcms::apply(to_inks_, colors.data(), black.data(), count);
    for (std::size_t i = 0; i < count; ++i) inks[i * 4 + 3] = black[i];
}

}  // namespace paleproof::color
