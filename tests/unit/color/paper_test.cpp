// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/paper.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "color/builtin_profiles.h"
#include "color/difference.h"

using namespace paleproof::color;

namespace {

struct Patch {
    std::string chart;
    CmykShare inks;
    double luminance = 0.0;
    Lab lab;
};

/// Fogra's characterisation data: FOGRA29L (uncoated, September 2003) and FOGRA39L (coated,
/// December 2006), an excerpt of the files in Debian's icc-profiles-free.
std::vector<Patch> published(const std::string& chart) {
    std::ifstream file(PALEPROOF_FIXTURES "/icc/chart_patches.csv");
    std::string line;
    std::getline(file, line);
    REQUIRE(line == "chart,c,m,y,k,Y,L,a,b");
    std::vector<Patch> patches;
    while (std::getline(file, line)) {
        std::istringstream cells(line);
        std::string cell;
        std::getline(cells, cell, ',');
        if (cell != chart) continue;
        std::vector<double> values;
        while (std::getline(cells, line, ',')) values.push_back(std::stod(line));
        REQUIRE(values.size() == 8);
        patches.push_back({cell,
                           {values[0] / 100, values[1] / 100, values[2] / 100, values[3] / 100},
                           values[4] / 100,
                           {values[5], values[6], values[7]}});
    }
    return patches;
}

Paper paper_of(std::span<const std::uint8_t> icc) {
    auto open = std::make_shared<OpenProfile>();
    open->profile = lcms::open_profile(open->context, icc, "profile");
    return Paper(open, true, "profile");
}

void check_chart(const std::string& chart, std::span<const std::uint8_t> icc) {
    const Paper paper = paper_of(icc);
    const std::vector<Patch> patches = published(chart);
    REQUIRE(patches.size() > 150);
    double sum = 0.0, worst = 0.0;
    for (const Patch& patch : patches) {
        const double off = ciede2000(paper.view(patch.inks), patch.lab);
        sum += off;
        worst = std::max(worst, off);
    }
    const double mean = sum / static_cast<double>(patches.size());
    MESSAGE(chart, ": ", patches.size(), " patches, CIEDE2000 mean ", mean, ", worst ", worst);
    // Twice what the profiles reach now; Argyll's own check of its fit says 0.16 on average.
    CHECK(mean < 0.3);
    CHECK(worst < 1.0);
}

void check_black_ramp(const std::string& chart, std::span<const std::uint8_t> icc) {
    const Paper paper = paper_of(icc);
    int steps = 0;
    double last = 101.0;
    for (const Patch& patch : published(chart)) {
        if (patch.inks.total() != patch.inks.k) continue;
        const Lab view = paper.view(patch.inks);
        CAPTURE(patch.inks.k);
        CHECK(std::abs(view.l - patch.lab.l) < 0.5);
        CHECK(std::abs(luminance_of_lightness(view.l) - patch.luminance) < 0.008);
        ++steps;
    }
    CHECK(steps >= 20);
    for (int percent = 0; percent <= 100; ++percent) {
        const double l = paper.view({0, 0, 0, percent / 100.0}).l;
        CHECK(l < last);
        last = l;
    }
}

}  // namespace

TEST_CASE("the uncoated profile shows Fogra's patches as published") {
    check_chart("FOGRA29L", uncoated_profile());
}

TEST_CASE("the coated profile shows Fogra's patches as published") {
    check_chart("FOGRA39L", coated_profile());
}

TEST_CASE("the black ramps of both profiles follow the published ones and never turn back") {
    check_black_ramp("FOGRA29L", uncoated_profile());
    check_black_ramp("FOGRA39L", coated_profile());
}

// FOGRA29L: paper Y 89.31, solid black 7.03, so (0.8931 + 0.05) / (0.0703 + 0.05) = 7.84. FOGRA39L:
// 87.62 and 2.10, 13.05. The formula is that of WCAG 2.2.
TEST_CASE("black text on paper reaches the contrast that the measured paper allows") {
    CHECK(std::abs(Separation::uncoated().paper_contrast_of_grays(0, 255) - 7.84) < 0.15);
    CHECK(std::abs(Separation::coated().paper_contrast_of_grays(0, 255) - 13.05) < 0.4);
    CHECK(std::abs(Separation::uncoated().paper_white() - 0.8931) < 0.005);
    CHECK(std::abs(Separation::coated().paper_white() - 0.8762) < 0.005);
    CHECK(Separation::black().paper_contrast_of_grays(0, 255) ==
          Separation::uncoated().paper_contrast_of_grays(0, 255));
}

TEST_CASE("screen colors that pass on screen lose contrast on paper") {
    const Separation uncoated = Separation::uncoated();
    const Rgb8 white{255, 255, 255};
    for (const Rgb8 color : {Rgb8{0, 0, 0}, Rgb8{96, 96, 96}, Rgb8{160, 0, 0}, Rgb8{0, 0, 128}}) {
        CHECK(uncoated.paper_contrast(color, white) < contrast_ratio(color, white));
        CHECK(uncoated.paper_contrast(color, white) == uncoated.paper_contrast(white, color));
    }
    CHECK(uncoated.paper_contrast(white, white) == 1.0);
}

TEST_CASE("grays printed with black alone darken step by step") {
    for (const Separation& separation :
         {Separation::black(), Separation::uncoated(), Separation::coated()}) {
        for (int code = 1; code < 256; ++code) {
            CHECK(separation.paper_luminance_of_gray(static_cast<std::uint8_t>(code)) >
                  separation.paper_luminance_of_gray(static_cast<std::uint8_t>(code - 1)));
        }
    }
}

// Colors inside the range of the inks come back from paper as they are on screen, relative to the
// paper: ICC.1 relative colorimetric. Lab of the paper view is absolute, so paper is not neutral.
TEST_CASE("bare paper looks as measured: FOGRA29L and FOGRA39L, patch 1") {
    const Lab uncoated = Separation::uncoated().paper_view({255, 255, 255});
    CHECK(ciede2000(uncoated, {95.71, 0.61, -2.32}) < 0.5);
    const Lab coated = Separation::coated().paper_view({255, 255, 255});
    CHECK(ciede2000(coated, {95.00, 0.00, -2.00}) < 0.5);
}
