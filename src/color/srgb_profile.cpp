// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/srgb_profile.h"

#include <lcms2.h>

#include <algorithm>
#include <array>
#include <cstddef>

#include "color/lcms.h"
#include "core/error.h"

namespace paleproof::color {

std::vector<std::uint8_t> srgb_icc() {
    const lcms::Context context;
    const lcms::Profile profile = lcms::srgb_profile(context);
    cmsUInt32Number size = 0;
    std::vector<std::uint8_t> icc;
    if (cmsSaveProfileToMem(profile.get(), nullptr, &size)) icc.resize(size);
    if (icc.empty() || !cmsSaveProfileToMem(profile.get(), icc.data(), &size)) {
        throw Error(ErrorKind::internal, "sRGB", "expected a profile, got " + context.fault());
    }
    // ICC.1:2010, 7.2: date and time of creation at 24, profile ID at 84 (zeros: not calculated).
    constexpr std::size_t date = 24;
    constexpr std::array<std::uint8_t, 12> fixed_date{0x07, 0xE8, 0, 1, 0, 1};  // 2024-01-01
    constexpr std::size_t id = 84;
    constexpr std::size_t id_size = 16;
    std::ranges::copy(fixed_date, icc.begin() + date);
    std::fill_n(icc.begin() + id, id_size, std::uint8_t{0});
    return icc;
}

}  // namespace paleproof::color
