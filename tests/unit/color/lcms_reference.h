// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <lcms2.h>

#include <cstdint>
#include <memory>
#include <span>
#include <vector>

/// Profiles made by lcms2, and conversions by it alone, to compare the color room with.
namespace paleproof::reference {

struct Close {
    void operator()(void* profile) const { cmsCloseProfile(profile); }
};
using Profile = std::unique_ptr<void, Close>;

[[nodiscard]] std::vector<std::uint8_t> bytes_of(const Profile& profile);
[[nodiscard]] Profile opened(std::span<const std::uint8_t> bytes);

/// Adobe RGB (1998) color image encoding, version 2005-05: primaries, D65, gamma 563/256.
[[nodiscard]] Profile adobe_rgb();

/// Gray with a power curve, of any class ('mntr' as made, 'prtr' for a printer).
[[nodiscard]] Profile gray_profile(double gamma, cmsProfileClassSignature profile_class);

/// Adobe RGB as a table of 17 nodes a channel instead of curves and a matrix.
[[nodiscard]] Profile adobe_rgb_as_table();

/// Every pixel through the whole pipeline in floating point, by the intent. Inks come out
/// in percent, light as 0..1.
[[nodiscard]] std::vector<double> full_transform(
    const Profile& from, cmsUInt32Number from_format, const Profile& to, cmsUInt32Number to_format,
    std::span<const std::uint8_t> in, bool black_point_compensation,
    cmsUInt32Number intent = INTENT_RELATIVE_COLORIMETRIC);

/// Every combination of codes 0, step, 2 step .. for so many channels, interleaved.
[[nodiscard]] std::vector<std::uint8_t> grid(int channels, int step);

}  // namespace paleproof::reference
