// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/pdf_inks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <iterator>
#include <span>
#include <vector>

#include "app/separations.h"
#include "codec/pdf_pixels.h"
#include "color/builtin_profiles.h"
#include "core/error.h"

namespace paleproof::app {
namespace {

std::vector<std::uint8_t> profile_of(const Job& job) {
    const auto copied = [](std::span<const std::uint8_t> icc) {
        return std::vector<std::uint8_t>(icc.begin(), icc.end());
    };
    if (job.separation == "uncoated") return copied(color::uncoated_profile());
    if (job.separation == "coated") return copied(color::coated_profile());
    std::ifstream stream(job.separation, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

}  // namespace

PdfInks pdf_inks(const Job& job) {
    PdfInks inks{separation_of(job), {separation_name(job), {}}};
    if (job.separation != "black") inks.intent.icc = profile_of(job);
    // ICC.1:2010, 7.2.6: the data color space at 16.
    constexpr std::size_t space = 16;
    const auto& icc = inks.intent.icc;
    if (icc.size() < space + 4 ||
        std::string(icc.begin() + space, icc.begin() + space + 4) != "CMYK") {
        throw Error(
            ErrorKind::usage, "pdf_color",
            "cmyk needs a separation of four inks: uncoated, coated or a CMYK profile; got " +
                separation_name(job));
    }
    return inks;
}

PackedImage in_inks(const PackedImage& picture, const PdfInks& inks, const std::string& name) {
    const Image image = codec::unpacked(picture, name);
    const std::span<const std::uint8_t> rgb = image.bytes();
    std::vector<std::uint8_t> cmyk(rgb.size() / 3 * 4);
    color::Rgb8 last{255, 255, 255};
    std::array<std::uint8_t, 4> codes{};
    const auto separate = [&] {
        const color::CmykShare share = inks.separation.separated(last);
        const auto code = [](double v) { return static_cast<std::uint8_t>(std::lround(v * 255)); };
        codes = {code(share.c), code(share.m), code(share.y), code(share.k)};
    };
    separate();
    for (std::size_t i = 0, o = 0; i + 2 < rgb.size(); i += 3, o += 4) {
        // Neighbors are often equal: flat art, paper.
        if (const color::Rgb8 now{rgb[i], rgb[i + 1], rgb[i + 2]}; !(now == last)) {
            last = now;
            separate();
        }
        std::copy(codes.begin(), codes.end(), cmyk.begin() + static_cast<std::ptrdiff_t>(o));
    }
    return codec::packed_inks(cmyk, image.size(), picture.ppi);
}

}  // namespace paleproof::app
