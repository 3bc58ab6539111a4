// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Ghostscript as an outside check of ink: its ink_cov device, set to the same output profile, on a
// page that is one picture.
#include <doctest/doctest.h>
#include <fmt/core.h>
#include <lcms2.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "color/separation.h"
#include "unit/color/lcms_reference.h"

using namespace paleproof;
using namespace paleproof::color;

namespace {

namespace fs = std::filesystem;

fs::path scratch() {
    const fs::path folder = PALEPROOF_SCRATCH;
    fs::create_directories(folder);
    return folder;
}

/// A page of as many points as the picture has pixels, so that -r72 renders pixel for pixel.
void write_pdf(const fs::path& path, const Image& image) {
    const bool gray = image.channels() == 1;
    const std::string page = fmt::format("{} 0 0 {} 0 0 cm /P Do", image.width(), image.height());
    const std::string pixels(image.bytes().begin(), image.bytes().end());
    const std::array<std::string, 5> objects = {
        "<</Type/Catalog/Pages 2 0 R>>", "<</Type/Pages/Kids[3 0 R]/Count 1>>",
        fmt::format("<</Type/Page/Parent 2 0 R/MediaBox[0 0 {} {}]/Contents 4 0 R"
                    "/Resources<</XObject<</P 5 0 R>>>>>>",
                    image.width(), image.height()),
        fmt::format("<</Length {}>>stream\n{}\nendstream", page.size(), page),
        fmt::format("<</Type/XObject/Subtype/Image/Width {}/Height {}/BitsPerComponent 8"
                    "/ColorSpace/{}/Length {}>>stream\n{}\nendstream",
                    image.width(), image.height(), gray ? "DeviceGray" : "DeviceRGB", pixels.size(),
                    pixels)};
    std::string pdf = "%PDF-1.4\n", table = "0000000000 65535 f \n";
    for (std::size_t i = 0; i < objects.size(); ++i) {
        table += fmt::format("{:010} 00000 n \n", pdf.size());
        pdf += fmt::format("{} 0 obj\n{}\nendobj\n", i + 1, objects[i]);
    }
    const std::size_t start = pdf.size();
    pdf += fmt::format("xref\n0 {0}\n{1}trailer<</Size {0}/Root 1 0 R>>\nstartxref\n{2}\n%%EOF\n",
                       objects.size() + 1, table, start);
    std::ofstream(path, std::ios::binary) << pdf;
}

/// Mean coverage of c, m, y, k as Ghostscript reports it, shares 0..1.
std::array<double, 4> ghostscript_ink(const fs::path& pdf, const std::string& profile) {
    const fs::path srgb_file = scratch() / "srgb.icc";
    const std::vector<std::uint8_t> srgb =
        reference::bytes_of(reference::Profile(cmsCreate_sRGBProfile()));
    std::ofstream(srgb_file, std::ios::binary)
        .write(reinterpret_cast<const char*>(srgb.data()),
               static_cast<std::streamsize>(srgb.size()));
    // Relative colorimetric (1) with black point compensation, no smoothing of the picture.
    const std::string command = fmt::format(
        "gs -q -o - -r72 -sDEVICE=ink_cov -dRenderIntent=1 -dBlackPtComp=1 -dDOINTERPOLATE=false "
        "--permit-file-read='{0}/:{1}/' -sDefaultRGBProfile='{0}/srgb.icc' "
        "-sOutputICCProfile='{1}/{2}.icc' '{3}' 2>&1",
        scratch().string(), PALEPROOF_FIXTURES "/icc", profile, pdf.string());
    FILE* pipe = popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string said;
    std::array<char, 256> buffer{};
    while (std::fgets(buffer.data(), static_cast<int>(buffer.size()), pipe) != nullptr) {
        said += buffer.data();
    }
    CAPTURE(command);
    CAPTURE(said);
    REQUIRE(pclose(pipe) == 0);
    std::istringstream numbers(said);
    std::array<double, 4> ink{};
    for (double& value : ink) {
        REQUIRE(static_cast<bool>(numbers >> value));
        value /= 100.0;
    }
    return ink;
}

/// Bands of saturated, soft and neutral colors, each shaded from dark to light.
Image color_chart() {
    Image image(120, 120, Encoding::srgb, Ppi{72.0});
    for (int y = 0; y < image.height(); ++y) {
        std::uint8_t* row = image.row(y);
        const int band = y / 15;
        for (int x = 0; x < image.width(); ++x) {
            const int light = 20 + x * 235 / 119;
            for (int channel = 0; channel < 3; ++channel) {
                const bool on = band == 7 || ((band + 1) >> channel & 1) != 0;
                *row++ = static_cast<std::uint8_t>(on ? light : light / (1 + band % 3));
            }
        }
    }
    return image;
}

}  // namespace

// Ghostscript rounds each ink of each pixel to 8 bits; 0.005 is the tolerance for pages.
TEST_CASE("ink of a color picture agrees with Ghostscript's ink_cov device") {
    const Image chart = color_chart();
    const fs::path pdf = scratch() / "color.pdf";
    write_pdf(pdf, chart);
    for (const Separation& separation : {Separation::uncoated(), Separation::coated()}) {
        CAPTURE(separation.name());
        const InkUse use = separation.ink(chart, chart.bounds(), chart.ppi());
        const std::array<double, 4> outside = ghostscript_ink(pdf, separation.name());
        CHECK(std::abs(use.c - outside[0]) < 0.005);
        CHECK(std::abs(use.m - outside[1]) < 0.005);
        CHECK(std::abs(use.y - outside[2]) < 0.005);
        CHECK(std::abs(use.k - outside[3]) < 0.005);
        CHECK(use.total > 0.3);
    }
}

TEST_CASE("ink of a gray picture is black alone for Ghostscript too") {
    Image ramp(64, 32, Encoding::gray, Ppi{72.0});
    for (int y = 0; y < ramp.height(); ++y) {
        for (int x = 0; x < ramp.width(); ++x) ramp.row(y)[x] = static_cast<std::uint8_t>(x * 4);
    }
    const fs::path pdf = scratch() / "gray.pdf";
    write_pdf(pdf, ramp);
    const InkUse use = Separation::uncoated().ink(ramp, ramp.bounds(), ramp.ppi());
    const std::array<double, 4> outside = ghostscript_ink(pdf, "uncoated");
    CHECK(outside[0] + outside[1] + outside[2] == 0.0);
    CHECK(std::abs(use.k - outside[3]) < 0.005);
}
