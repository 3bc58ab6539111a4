// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/source_profile.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>
#include <thread>
#include <vector>

#include "color/builtin_profiles.h"
#include "color/srgb.h"
#include "core/error.h"
#include "unit/color/lcms_reference.h"

using namespace paleproof::color;
using paleproof::Error;
using paleproof::ErrorKind;
using namespace paleproof::reference;

namespace {

/// The full transform to 8-bit sRGB, rounded.
std::vector<std::uint8_t> fully_converted(const Profile& from, cmsUInt32Number format,
                                          const std::vector<std::uint8_t>& in, bool compensate) {
    const Profile srgb(cmsCreate_sRGBProfile());
    const std::vector<double> light =
        full_transform(from, format, srgb, TYPE_RGB_DBL, in, compensate);
    std::vector<std::uint8_t> out(light.size());
    std::transform(light.begin(), light.end(), out.begin(), [](double v) {
        return static_cast<std::uint8_t>(std::lround(std::clamp(v, 0.0, 1.0) * 255.0));
    });
    return out;
}

int worst_step(const std::vector<std::uint8_t>& a, const std::vector<std::uint8_t>& b) {
    REQUIRE(a.size() == b.size());
    int worst = 0;
    for (std::size_t i = 0; i < a.size(); ++i) worst = std::max(worst, std::abs(a[i] - b[i]));
    return worst;
}

double share_beyond_2(const std::vector<std::uint8_t>& a, const std::vector<std::uint8_t>& b) {
    REQUIRE(a.size() == b.size());
    std::size_t beyond = 0;
    for (std::size_t i = 0; i < a.size(); ++i) beyond += std::abs(a[i] - b[i]) > 2 ? 1U : 0U;
    return static_cast<double>(beyond) / static_cast<double>(a.size());
}

std::vector<std::uint8_t> converted(const ToSrgb& to_srgb, const std::vector<std::uint8_t>& in) {
    const std::size_t pixels = in.size() / static_cast<std::size_t>(to_srgb.input_channels());
    std::vector<std::uint8_t> out(pixels * static_cast<std::size_t>(to_srgb.output_channels()));
    to_srgb.convert(in.data(), out.data(), pixels);
    return out;
}

std::vector<std::uint8_t> converted_16(const ToSrgb& to_srgb, const std::vector<std::uint8_t>& in) {
    std::vector<std::uint16_t> wide(in.size());
    std::transform(in.begin(), in.end(), wide.begin(),
                   [](std::uint8_t v) { return static_cast<std::uint16_t>(v * 257); });
    const std::size_t pixels = in.size() / static_cast<std::size_t>(to_srgb.input_channels());
    std::vector<std::uint8_t> out(pixels * static_cast<std::size_t>(to_srgb.output_channels()));
    to_srgb.convert(wide.data(), out.data(), pixels);
    return out;
}

std::string refusal(std::span<const std::uint8_t> icc, SourceSpace expected) {
    try {
        (void)ToSrgb::from_icc(icc, expected);
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::format);
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("an sRGB profile is recognised by what it does, and nothing is changed") {
    const Profile srgb(cmsCreate_sRGBProfile());
    const ToSrgb from_srgb = ToSrgb::from_icc(bytes_of(srgb), SourceSpace::rgb);
    CHECK(from_srgb.identity());
    const std::vector<std::uint8_t> in = grid(3, 17);
    CHECK(converted(from_srgb, in) == in);
    CHECK(converted_16(from_srgb, in) == in);
    CHECK(ToSrgb::srgb(SourceSpace::gray).identity());
    CHECK_FALSE(ToSrgb::from_icc(bytes_of(adobe_rgb()), SourceSpace::rgb).identity());
}

// Reference: lcms2, full floating point pipeline.
TEST_CASE("a matrix profile in integer tables is within one code of the full transform") {
    const Profile adobe = adobe_rgb();
    const ToSrgb to_srgb = ToSrgb::from_icc(bytes_of(adobe), SourceSpace::rgb);
    const std::vector<std::uint8_t> in = grid(3, 5);
    const auto reference = fully_converted(adobe, TYPE_RGB_8, in, false);
    CHECK(worst_step(converted(to_srgb, in), reference) <= 1);
    CHECK(worst_step(converted_16(to_srgb, in), reference) <= 1);
}

// Reference: lcms2, full floating point pipeline, black point compensated.
TEST_CASE("an RGB profile with tables is within two codes of the full transform") {
    const std::vector<std::uint8_t> bytes = bytes_of(adobe_rgb_as_table());
    const ToSrgb to_srgb = ToSrgb::from_icc(bytes, SourceSpace::rgb);
    CHECK_FALSE(to_srgb.identity());
    const std::vector<std::uint8_t> in = grid(3, 5);
    const auto reference = fully_converted(opened(bytes), TYPE_RGB_8, in, true);
    CHECK(share_beyond_2(converted(to_srgb, in), reference) < 0.005);
    CHECK(share_beyond_2(converted_16(to_srgb, in), reference) < 0.005);
    MESSAGE("worst step ", worst_step(converted(to_srgb, in), reference), " and ",
            worst_step(converted_16(to_srgb, in), reference));
}

// Reference: lcms2, full floating point pipeline, black point compensated.
TEST_CASE("a CMYK profile is within two codes of the full transform almost everywhere") {
    const Profile coated = opened(coated_profile());
    const ToSrgb to_srgb = ToSrgb::default_cmyk();
    CHECK(to_srgb.input_channels() == 4);
    CHECK(to_srgb.output_channels() == 3);
    const std::vector<std::uint8_t> in = grid(4, 17);
    const auto reference = fully_converted(coated, TYPE_CMYK_8, in, true);
    CHECK(share_beyond_2(converted(to_srgb, in), reference) < 0.02);
    CHECK(share_beyond_2(converted_16(to_srgb, in), reference) < 0.02);
    CHECK(worst_step(converted(to_srgb, in), reference) <= 24);
    MESSAGE("share beyond 2 codes ", share_beyond_2(converted(to_srgb, in), reference), ", worst ",
            worst_step(converted(to_srgb, in), reference));
}

TEST_CASE("CMYK counts ink: none is white, all of it is nearly black") {
    const std::vector<std::uint8_t> out =
        converted(ToSrgb::default_cmyk(), {0, 0, 0, 0, 255, 255, 255, 255, 255, 0, 0, 0});
    CHECK(out[0] == 255);
    CHECK(out[1] == 255);
    CHECK(out[2] == 255);
    CHECK(*std::max_element(out.begin() + 3, out.begin() + 6) < 16);
    // Full cyan: red gone, blue more than green (FOGRA39: L* 55, a* -37, b* -50).
    CHECK(out[6] < 16);
    CHECK(out[7] > 128);
    CHECK(out[8] > out[7]);
}

// Full transform by lcms2; gray 18 % of a linear scale is code 118 (IEC 61966-2-1).
TEST_CASE("gray profiles keep one channel") {
    const ToSrgb from_linear =
        ToSrgb::from_icc(bytes_of(gray_profile(1.0, cmsSigDisplayClass)), SourceSpace::gray);
    CHECK(from_linear.input_channels() == 1);
    CHECK(from_linear.output_channels() == 1);
    CHECK_FALSE(from_linear.identity());
    const Profile gamma = gray_profile(1.8, cmsSigOutputClass);
    const ToSrgb to_srgb = ToSrgb::from_icc(bytes_of(gamma), SourceSpace::gray);
    const std::vector<std::uint8_t> in = grid(1, 1);
    const auto reference = fully_converted(gamma, TYPE_GRAY_8, in, false);
    const auto out = converted(to_srgb, in);
    for (std::size_t i = 0; i < in.size(); ++i) {
        CAPTURE(i);
        CHECK(std::abs(out[i] - reference[i * 3]) <= 1);
    }
    CHECK(converted_16(to_srgb, in) == out);
    const std::uint16_t middle_gray = 11796;  // 0.18 * 65535
    std::uint8_t code = 0;
    from_linear.convert(&middle_gray, &code, 1);
    CHECK(code == 118);
}

// PNG specification, third edition, 11.3.2.1 and 11.3.2.5: with sRGB, gAMA is 45455 and cHRM holds
// the sRGB primaries.
TEST_CASE("the gamma and primaries that go with sRGB mean sRGB") {
    CHECK(ToSrgb::from_gamma(SourceSpace::rgb, 0.45455).identity());
    CHECK(ToSrgb::from_gamma(SourceSpace::gray, 0.45455).identity());
    CHECK(ToSrgb::from_gamma(SourceSpace::rgb, 0.45455, Chromaticities{}).identity());
}

TEST_CASE("a file gamma is undone before the sRGB curve is put on") {
    const ToSrgb from_linear = ToSrgb::from_gamma(SourceSpace::gray, 1.0);
    const std::vector<std::uint8_t> in = grid(1, 1);
    const auto out = converted(from_linear, in);
    for (std::size_t i = 0; i < in.size(); ++i) CHECK(out[i] == code_of(in[i] / 255.0));
    const ToSrgb from_rgb = ToSrgb::from_gamma(SourceSpace::rgb, 1.0);
    const auto colors = converted(from_rgb, {128, 0, 255});
    CHECK(colors == std::vector<std::uint8_t>{code_of(128 / 255.0), 0, 255});
}

TEST_CASE("cHRM primaries act as the same primaries in a profile do") {
    const Profile adobe = adobe_rgb();
    const std::vector<std::uint8_t> in = grid(3, 15);
    const auto reference = fully_converted(adobe, TYPE_RGB_8, in, false);
    const Chromaticities primaries{0.3127, 0.3290, 0.64, 0.33, 0.21, 0.71, 0.15, 0.06};
    const ToSrgb to_srgb = ToSrgb::from_gamma(SourceSpace::rgb, 256.0 / 563.0, primaries);
    CHECK(worst_step(converted(to_srgb, in), reference) <= 1);
}

// W3C CSS Color 4: sRGB red is about color(display-p3 0.9175 0.2003 0.1386), which is 234 51 35 in
// 8 bits (from memory); PNG third edition: Display P3 = 12 13 0 1.
TEST_CASE("cICP codes are understood where they are common and left alone where not") {
    CHECK(ToSrgb::from_cicp({1, 13, 0, 1}, SourceSpace::rgb)->identity());
    const auto display_p3 = ToSrgb::from_cicp({12, 13, 0, 1}, SourceSpace::rgb);
    REQUIRE(display_p3);
    const auto red = converted(*display_p3, {234, 51, 35});
    CHECK(red[0] >= 254);
    CHECK(red[1] <= 6);
    CHECK(red[2] <= 6);
    CHECK(converted(*display_p3, {128, 128, 128}) == std::vector<std::uint8_t>{128, 128, 128});
    CHECK_FALSE(ToSrgb::from_cicp({9, 16, 0, 1}, SourceSpace::rgb));  // perceptual quantizer
    CHECK_FALSE(ToSrgb::from_cicp({1, 13, 1, 1}, SourceSpace::rgb));  // not RGB
    CHECK_FALSE(ToSrgb::from_cicp({1, 13, 0, 0}, SourceSpace::rgb));  // narrow range
}

TEST_CASE("primaries and gammas that make no sense are refused") {
    const Chromaticities flat{0.3127, 0.3290, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3};
    CHECK_THROWS_AS((void)ToSrgb::from_gamma(SourceSpace::rgb, 0.45455, flat), Error);
    const Chromaticities white_outside{0.1, 0.8, 0.64, 0.33, 0.30, 0.60, 0.15, 0.06};
    CHECK_THROWS_AS((void)ToSrgb::from_gamma(SourceSpace::rgb, 0.45455, white_outside), Error);
    CHECK_THROWS_AS((void)ToSrgb::from_gamma(SourceSpace::rgb, 0.0), Error);
    CHECK_THROWS_AS((void)ToSrgb::from_gamma(SourceSpace::gray, std::nan("")), Error);
    CHECK_THROWS_AS((void)ToSrgb::srgb(SourceSpace::cmyk), Error);
}

TEST_CASE("broken profiles are refused with what was found") {
    std::vector<std::uint8_t> adobe = bytes_of(adobe_rgb());
    CHECK(refusal({}, SourceSpace::rgb).find("0 bytes") != std::string::npos);
    CHECK_FALSE(refusal(std::vector<std::uint8_t>(200, 0x5A), SourceSpace::rgb).empty());
    CHECK_FALSE(refusal(std::span(adobe).first(100), SourceSpace::rgb).empty());
    CHECK(refusal(adobe, SourceSpace::cmyk).find("found a RGB display profile") !=
          std::string::npos);
    CHECK_FALSE(refusal(adobe, SourceSpace::gray).empty());
    const Profile lab(cmsCreateLab4Profile(nullptr));
    CHECK_FALSE(refusal(bytes_of(lab), SourceSpace::rgb).empty());
}

TEST_CASE("no damaged byte of a profile does more than a refusal") {
    const std::vector<std::uint8_t> adobe = bytes_of(adobe_rgb());
    int refused = 0, used = 0;
    for (std::size_t at = 0; at < adobe.size(); at += 3) {
        std::vector<std::uint8_t> damaged = adobe;
        damaged[at] = static_cast<std::uint8_t>(damaged[at] ^ 0xFFU);
        try {
            const ToSrgb to_srgb = ToSrgb::from_icc(damaged, SourceSpace::rgb);
            CHECK(converted(to_srgb, {0, 128, 255}).size() == 3);
            ++used;
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::format);
            ++refused;
        }
    }
    CHECK(refused > 0);
    CHECK(used > 0);
}

TEST_CASE("16-bit samples are rounded to the nearest 8-bit ones") {
    for (int v = 0; v < 65536; ++v) {
        CHECK(to_8_bits(static_cast<std::uint16_t>(v)) == std::lround(v / 257.0));
    }
}

TEST_CASE("two threads that share a conversion get what one gets") {
    const std::vector<std::uint8_t> profile_bytes = bytes_of(adobe_rgb());
    const std::vector<std::uint8_t> in = grid(3, 5);
    const std::vector<std::uint8_t> cmyk = grid(4, 17);
    const auto alone = converted(ToSrgb::from_icc(profile_bytes, SourceSpace::rgb), in);
    const auto cmyk_alone = converted(ToSrgb::default_cmyk(), cmyk);
    std::vector<int> wrong(2, 0);
    std::vector<std::thread> threads;
    for (std::size_t t = 0; t < 2; ++t) {
        threads.emplace_back([&, t] {
            for (int round = 0; round < 3; ++round) {
                const ToSrgb to_srgb = ToSrgb::from_icc(profile_bytes, SourceSpace::rgb);
                wrong[t] += converted(to_srgb, in) != alone;
                wrong[t] += converted_16(to_srgb, in) != alone;
                wrong[t] += converted(ToSrgb::default_cmyk(), cmyk) != cmyk_alone;
            }
        });
    }
    for (auto& thread : threads) thread.join();
    CHECK(wrong == std::vector<int>{0, 0});
}
