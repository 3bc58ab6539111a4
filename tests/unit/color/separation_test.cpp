// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/separation.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <thread>
#include <vector>

#include "color/builtin_profiles.h"
#include "color/coverage.h"
#include "core/error.h"
#include "support/pictures.h"
#include "unit/color/lcms_reference.h"

using namespace paleproof;
using namespace paleproof::color;
using namespace paleproof::reference;

namespace {

constexpr Ppi ppi_300{300.0};

bool near(double a, double b, double tolerance) { return std::abs(a - b) <= tolerance; }

Image filled(int width, int height, Encoding encoding, std::uint8_t value) {
    Image image(width, height, encoding, ppi_300);
    std::fill(image.bytes().begin(), image.bytes().end(), value);
    return image;
}

/// Soft waves of color with grain on them, as paintings have, from a fixed seed.
Image painting(int width, int height, unsigned seed) {
    std::mt19937 random(seed);
    const auto draw = [&random](double range) {
        return range * static_cast<double>(random()) / static_cast<double>(std::mt19937::max());
    };
    double wave[3][4];
    for (auto& channel : wave) {
        channel[0] = draw(0.02);
        channel[1] = draw(0.02);
        channel[2] = draw(6.28);
        channel[3] = 40.0 + draw(160.0);
    }
    Image image(width, height, Encoding::srgb, ppi_300);
    for (int y = 0; y < height; ++y) {
        std::uint8_t* row = image.row(y);
        for (int x = 0; x < width; ++x) {
            for (const auto& channel : wave) {
                const double value = channel[3] +
                                     70.0 * std::sin(channel[0] * x + channel[1] * y + channel[2]) +
                                     draw(30.0) - 15.0;
                *row++ = static_cast<std::uint8_t>(std::clamp(value, 0.0, 255.0));
            }
        }
    }
    return image;
}

Image noise(int width, int height, unsigned seed) {
    std::mt19937 random(seed);
    Image image(width, height, Encoding::srgb, ppi_300);
    for (std::uint8_t& sample : image.bytes()) sample = static_cast<std::uint8_t>(random() >> 24U);
    return image;
}

/// Mean inks by lcms2 alone, every pixel through the whole pipeline.
std::vector<double> full_coverage(std::span<const std::uint8_t> profile, const Image& image,
                                  Intent intent) {
    const Profile srgb(cmsCreate_sRGBProfile());
    const bool relative = intent == Intent::relative;
    const std::vector<double> inks =
        full_transform(srgb, TYPE_RGB_8, opened(profile), TYPE_CMYK_DBL, image.bytes(), relative,
                       relative ? INTENT_RELATIVE_COLORIMETRIC : INTENT_PERCEPTUAL);
    std::vector<double> mean(4);
    for (std::size_t i = 0; i < inks.size(); ++i) mean[i % 4] += inks[i] / 100.0;
    for (double& ink : mean) ink /= static_cast<double>(inks.size() / 4);
    return mean;
}

}  // namespace

// Tone value and tone value sum of ISO 12647-1, worked on four pixels: (0 0 0 0), (50 40 40 10),
// (0 0 0 100), (100 100 100 100) percent.
TEST_CASE("four pixels have the coverage, total and peak of the worked example") {
    const std::uint64_t inks[4][4] = {
        {0, 0, 0, 0}, {50, 40, 40, 10}, {0, 0, 0, 100}, {100, 100, 100, 100}};
    const auto ink_of_run = [&](int x, int, int count) {
        InkSum sum{};
        for (int i = x; i < x + count; ++i) {
            for (std::size_t ink = 0; ink < 4; ++ink) sum[ink] += inks[i][ink];
        }
        return sum;
    };
    const Ppi pixel_per_mm{mm_per_inch};
    const InkUse use = coverage({0, 0, 4, 1}, pixel_per_mm, 100, ink_of_run);
    CHECK(near(use.c, 0.375, 1e-12));
    CHECK(near(use.m, 0.35, 1e-12));
    CHECK(near(use.y, 0.35, 1e-12));
    CHECK(near(use.k, 0.525, 1e-12));
    CHECK(near(use.total, 1.60, 1e-12));
    CHECK(near(use.peak, 4.00, 1e-12));
    CHECK(use.peak_box == RectPx{3, 0, 1, 1});
    // At twice the resolution a millimeter is two pixels, and the peak their mean.
    const InkUse coarser = coverage({0, 0, 4, 1}, Ppi{2.0 * mm_per_inch}, 100, ink_of_run);
    CHECK(near(coarser.peak, 2.50, 1e-12));
    CHECK(coarser.peak_box == RectPx{2, 0, 2, 1});
}

// Ghostscript 10.00.0, ink_cov device: an 8-bit DeviceGray image of 0x80 takes 49.80392 % black and
// nothing else.
TEST_CASE("gray costs black ink alone in every separation") {
    for (const Separation& separation :
         {Separation::black(), Separation::uncoated(), Separation::coated()}) {
        CAPTURE(separation.name());
        for (int code = 0; code < 256; ++code) {
            const Image gray = filled(5, 3, Encoding::gray, static_cast<std::uint8_t>(code));
            const InkUse use = separation.ink(gray, gray.bounds(), gray.ppi());
            CHECK(near(use.k, 1.0 - code / 255.0, 1e-12));
            CHECK(use.total == use.k);
            CHECK(use.peak == use.k);
        }
        const Image half = filled(4, 4, Encoding::gray, 0x80);
        CHECK(near(separation.ink(half, half.bounds(), {}).k, 0.4980392, 1e-7));
    }
    Image line_art(4, 1, Encoding::bilevel);
    line_art.row(0)[2] = 0;
    CHECK(Separation::uncoated().ink(line_art, line_art.bounds(), {}).k == 0.25);
}

TEST_CASE("black separates color to its luminance, neutrals to themselves") {
    const Separation black = Separation::black();
    const Image red = [] {
        Image image(3, 3, Encoding::srgb);
        for (int y = 0; y < 3; ++y) {
            for (int x = 0; x < 3; ++x) {
                image.row(y)[3 * x + 1] = 0;
                image.row(y)[3 * x + 2] = 0;
            }
        }
        return image;
    }();
    // Red has the gray code 127: ITU-R BT.709 weights, IEC 61966-2-1 curve.
    CHECK(near(black.ink(red, red.bounds(), {}).k, 1.0 - 127 / 255.0, 1e-12));
    CHECK(near(black.separated({64, 64, 64}).k, 1.0 - 64 / 255.0, 1e-12));
    CHECK(black.separated({64, 64, 64}).total() == black.separated({64, 64, 64}).k);
}

// Reference: lcms2, relative colorimetric with black point compensation, and perceptual
// (ICC.1:2010, which leaves black points to the profile there), every pixel in full.
TEST_CASE("coverage by the table is within 0.002 of the full transform") {
    const Image pictures[] = {painting(300, 200, 1), painting(300, 200, 2), painting(300, 200, 3),
                              noise(300, 200, 4)};
    for (const Image& picture : pictures) {
        const auto check = [&](const Separation& separation, std::span<const std::uint8_t> icc,
                               Intent intent) {
            const InkUse use = separation.ink(picture, picture.bounds(), ppi_300);
            const std::vector<double> full = full_coverage(icc, picture, intent);
            CAPTURE(static_cast<int>(intent));
            CAPTURE(separation.name());
            CHECK(near(use.c, full[0], 0.002));
            CHECK(near(use.m, full[1], 0.002));
            CHECK(near(use.y, full[2], 0.002));
            CHECK(near(use.k, full[3], 0.002));
            CHECK(near(use.total, full[0] + full[1] + full[2] + full[3], 0.004));
        };
        for (const Intent intent : {Intent::relative, Intent::perceptual}) {
            check(Separation::uncoated(intent), uncoated_profile(), intent);
            check(Separation::coated(intent), coated_profile(), intent);
        }
    }
}

// The same reference, color by color.
TEST_CASE("single colors by the table are near the full transform") {
    const std::vector<std::uint8_t> colors = grid(3, 7);
    const Profile srgb(cmsCreate_sRGBProfile());
    const std::vector<double> full =
        full_transform(srgb, TYPE_RGB_8, opened(uncoated_profile()), TYPE_CMYK_DBL, colors, true);
    const Separation separation = Separation::uncoated();
    double worst = 0.0, sum = 0.0;
    for (std::size_t i = 0; i < colors.size() / 3; ++i) {
        const CmykShare inks =
            separation.separated({colors[3 * i], colors[3 * i + 1], colors[3 * i + 2]});
        const double found[4] = {inks.c, inks.m, inks.y, inks.k};
        for (std::size_t ink = 0; ink < 4; ++ink) {
            const double off = std::abs(found[ink] - full[4 * i + ink] / 100.0);
            worst = std::max(worst, off);
            sum += off;
        }
    }
    MESSAGE("ink by table against full transform: worst ", worst, ", mean ",
            sum / static_cast<double>(full.size()));
    // One ink of one color, where the inks' range ends between two nodes.
    CHECK(worst < 0.05);
    CHECK(sum / static_cast<double>(full.size()) < 0.001);
}

TEST_CASE("paper stays bare, black takes nearly all the ink a place may take") {
    for (const Intent intent : {Intent::relative, Intent::perceptual}) {
        for (const Separation& separation :
             {Separation::uncoated(intent), Separation::coated(intent)}) {
            CAPTURE(separation.name());
            CHECK(separation.separated({255, 255, 255}).total() < 0.002);
            CHECK(separation.separated({0, 0, 0}).total() > 2.0);
            CHECK(separation.separated({0, 0, 0}).k > 0.9);
        }
    }
}

TEST_CASE("no color passes the total limit that a profile was made for") {
    for (const Separation& separation : {Separation::uncoated(), Separation::coated()}) {
        CAPTURE(separation.name());
        REQUIRE(separation.total_limit().has_value());
        double most = 0.0;
        const std::vector<std::uint8_t> colors = grid(3, 5);
        for (std::size_t i = 0; i < colors.size(); i += 3) {
            most = std::max(
                most, separation.separated({colors[i], colors[i + 1], colors[i + 2]}).total());
        }
        CHECK(most <= *separation.total_limit() + 0.02);
        CHECK(most > *separation.total_limit() - 0.5);
    }
}

TEST_CASE("a gray picture sent as color costs far more ink") {
    const Image gray = filled(24, 24, Encoding::gray, 128);
    const Image color = filled(24, 24, Encoding::srgb, 128);
    for (const Separation& separation : {Separation::uncoated(), Separation::coated()}) {
        CAPTURE(separation.name());
        const double alone = separation.ink(gray, gray.bounds(), ppi_300).total;
        CHECK(separation.ink(color, color.bounds(), ppi_300).total > 2.0 * alone);
    }
}

TEST_CASE("the peak is a whole millimeter, found where it is, and one pixel does not decide") {
    Image card = filled(750, 1050, Encoding::gray, 255);
    card.row(10)[10] = 0;
    CHECK(Separation::black().ink(card, card.bounds(), ppi_300).peak == 0.0);
    // Six millimeters square: 36 patches of 5607, more than the one in a thousand left out.
    for (int y = 400; y < 471; ++y) std::fill_n(card.row(y) + 300, 71, std::uint8_t{51});
    const InkUse use = Separation::black().ink(card, card.bounds(), ppi_300);
    CHECK(near(use.peak, 0.8, 1e-12));
    CHECK(use.peak_box.x >= 300);
    CHECK(use.peak_box.y >= 400);
    CHECK(use.peak_box.right() <= 371);
    CHECK(use.peak_box.bottom() <= 471);
    CHECK(use.peak_box.width == 12);
    CHECK(near(use.k, (0.8 * 71 * 71 + 1) / (750.0 * 1050.0), 1e-12));
}

TEST_CASE("only the trimmed area is measured") {
    Image card = filled(60, 40, Encoding::srgb, 255);
    for (int y = 0; y < 40; ++y) std::fill_n(card.row(y), 3 * 20, std::uint8_t{0});
    const Separation separation = Separation::uncoated();
    CHECK(separation.ink(card, {20, 0, 40, 40}, ppi_300).total < 0.002);
    CHECK(separation.ink(card, {0, 0, 20, 40}, ppi_300).total > 2.0);
    CHECK(separation.ink(card, {-5, -5, 25, 45}, ppi_300).total > 2.0);
    CHECK_THROWS_AS((void)separation.ink(card, {60, 0, 5, 5}, ppi_300), Error);
}

TEST_CASE("a file's own CMYK profile separates as the built-in one does") {
    const Image picture = painting(120, 80, 7);
    const Separation own = Separation::from_profile(coated_profile(), "press.icc");
    CHECK(own.name() == "press.icc");
    CHECK_FALSE(own.total_limit().has_value());
    const InkUse a = own.ink(picture, picture.bounds(), ppi_300);
    const InkUse b = Separation::coated().ink(picture, picture.bounds(), ppi_300);
    CHECK(a.total == b.total);
    CHECK(a.peak_box == b.peak_box);
}

// A printer whose light is the square of its input: half light takes sqrt(0.5) input, 0.293 ink.
TEST_CASE("a gray printer profile counts black ink alone") {
    const Separation gray =
        Separation::from_profile(bytes_of(gray_profile(2.0, cmsSigOutputClass)), "laser.icc");
    const CmykShare white = gray.separated({255, 255, 255});
    const CmykShare half = gray.separated({188, 188, 188});  // linear light 0.5029
    CHECK(white.total() < 1e-4);
    CHECK(half.c + half.m + half.y == 0.0);
    CHECK(near(half.k, 1.0 - std::sqrt(0.50289), 0.002));
    CHECK(gray.separated({0, 0, 0}).k > 0.999);
    CHECK(near(gray.paper_luminance({188, 188, 188}), 0.50289, 0.003));
    CHECK(near(gray.paper_luminance_of_gray(128), 0.5019608 * 0.5019608, 0.001));
}

TEST_CASE("profiles that are no printer's are refused with what was found") {
    const auto refusal = [](const std::vector<std::uint8_t>& bytes) -> std::string {
        try {
            (void)Separation::from_profile(bytes, "wrong.icc");
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::format);
            CHECK(error.subject() == "wrong.icc");
            return error.what();
        }
        return "";
    };
    CHECK(refusal(bytes_of(adobe_rgb())).find("found a RGB display profile") != std::string::npos);
    CHECK(refusal(bytes_of(gray_profile(2.2, cmsSigDisplayClass))).find("gray display profile") !=
          std::string::npos);
    CHECK_FALSE(refusal({}).empty());
    CHECK_FALSE(refusal(std::vector<std::uint8_t>(300, 7)).empty());
    const auto coated = coated_profile();
    CHECK_FALSE(refusal({coated.begin(), coated.begin() + 500}).empty());
    const Profile link(cmsCreateInkLimitingDeviceLink(cmsSigCmykData, 280.0));
    CHECK(refusal(bytes_of(link)).find("device link") != std::string::npos);
}

TEST_CASE("two threads that share a separation get what one gets") {
    const Image picture = painting(200, 150, 9);
    const InkUse alone = Separation::coated().ink(picture, picture.bounds(), ppi_300);
    const double paper_alone = Separation::coated().paper_luminance({90, 30, 160});
    // A fresh one, so that both threads also race for its table.
    const Separation shared = Separation::from_profile(coated_profile(), "shared");
    std::vector<int> wrong(2, 0);
    std::vector<std::thread> threads;
    for (std::size_t t = 0; t < 2; ++t) {
        threads.emplace_back([&, t] {
            for (int round = 0; round < 4; ++round) {
                const InkUse use = shared.ink(picture, picture.bounds(), ppi_300);
                wrong[t] += use.total != alone.total || use.c != alone.c || use.peak != alone.peak;
                wrong[t] += shared.paper_luminance({90, 30, 160}) != paper_alone;
            }
        });
    }
    for (auto& thread : threads) thread.join();
    CHECK(wrong == std::vector<int>{0, 0});
}

TEST_CASE("totals of parts are what ink says of each part") {
    const paleproof::Image picture = paleproof::test::noise(24, 21, paleproof::Encoding::srgb, 5);
    const auto& inks = Separation::uncoated();
    // Parts of 3 or 4 by 3 pixels: all rows are counted.
    const auto totals = inks.totals(picture, 7, 7);
    CHECK(totals.size() == 49);
    for (int j = 0; j < 7; ++j) {
        for (int i = 0; i < 7; ++i) {
            const int left = 24 * i / 7;
            const paleproof::RectPx part{left, 3 * j, 24 * (i + 1) / 7 - left, 3};
            CHECK(totals[static_cast<std::size_t>(7 * j + i)] ==
                  doctest::Approx(inks.ink(picture, part, paleproof::Ppi{1.0}).total));
        }
    }
    // Of higher parts some rows are counted: on even ground that is the same.
    const paleproof::Image even = paleproof::test::flat(30, 90, 51);
    for (const double total : inks.totals(even, 2, 3)) CHECK(total == doctest::Approx(0.8));
    CHECK_THROWS_AS((void)inks.totals(even, 0, 1), paleproof::Error);
    CHECK_THROWS_AS((void)inks.totals(even, 31, 1), paleproof::Error);
}
