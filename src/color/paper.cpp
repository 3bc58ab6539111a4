// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/paper.h"

#include <lcms2.h>

#include <cstddef>
#include <utility>

namespace paleproof::color {

Paper::Paper(std::shared_ptr<const OpenProfile> profile, bool cmyk, const std::string& subject)
    : profile_(std::move(profile)),
      cmyk_(cmyk),
      to_lab_(lcms::transform(profile_->context, profile_->profile,
                              lcms::lab_profile(profile_->context),
                              {cmyk ? static_cast<std::uint32_t>(TYPE_CMYK_DBL) : TYPE_GRAY_DBL,
                               TYPE_Lab_DBL, lcms::Intent::absolute, false, true},
                              subject)) {
    for (std::size_t code = 0; code < grays_.size(); ++code) {
        const double k = 1.0 - static_cast<double>(code) / 255.0;
        grays_[code] = luminance_of_lightness(view({0, 0, 0, k}).l);
    }
}

Lab Paper::view(const CmykShare& inks) const {
    // lcms2 counts inks in percent and gray as light.
    const double percent[4] = {inks.c * 100.0, inks.m * 100.0, inks.y * 100.0, inks.k * 100.0};
    const double gray = 1.0 - inks.k;
    double lab[3] = {};
    lcms::apply(to_lab_, cmyk_ ? percent : &gray, lab, 1);
    return {lab[0], lab[1], lab[2]};
}

}  // namespace paleproof::color
