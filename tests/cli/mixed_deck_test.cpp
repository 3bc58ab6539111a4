// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// A deck as it comes from many hands: 54 faces in every kind of PNG and JPEG that ImageMagick
// writes.
#include <doctest/doctest.h>

#include <filesystem>
#include <map>
#include <string>

#include "cli/tool.h"

using namespace paleproof::test;

namespace {

namespace fs = std::filesystem;

struct Kind {
    const char* name;     ///< extension included
    const char* options;  ///< of ImageMagick's convert, which writes the file
};

// PNG color types 0, 2, 3, 4, 6 and bit depths 1 to 16, interlaced too; JPEG baseline and
// progressive, gray and CMYK, both ways to sample chroma.
constexpr Kind kinds[] = {
    {"rgb.png", "-define png:color-type=2"},
    {"rgb-16.png", "-depth 16 -define png:color-type=2 -define png:bit-depth=16"},
    {"rgb-adam7.png", "-interlace PNG -define png:color-type=2"},
    {"rgba.png", "-alpha set -define png:color-type=6"},
    {"rgba-16.png", "-alpha set -depth 16 -define png:color-type=6 -define png:bit-depth=16"},
    {"gray.png", "-colorspace Gray -define png:color-type=0"},
    {"gray-16.png", "-colorspace Gray -depth 16 -define png:color-type=0 -define png:bit-depth=16"},
    {"gray-alpha.png", "-colorspace Gray -alpha set -define png:color-type=4"},
    {"one-bit.png",
     "-colorspace Gray -threshold 50% -define png:color-type=0 "
     "-define png:bit-depth=1"},
    {"palette-8.png", "-colors 200 -define png:color-type=3"},
    {"palette-4.png", "-colors 12 -define png:color-type=3"},
    {"palette-adam7.png", "-interlace PNG -colors 60 -define png:color-type=3"},
    {"baseline.jpg", "-sampling-factor 1x1 -interlace none -quality 92"},
    {"half-chroma.jpg", "-sampling-factor 2x2 -quality 85"},
    {"progressive.jpg", "-interlace JPEG -quality 90"},
    {"gray.jpg", "-colorspace Gray -quality 90"},
    {"cmyk.jpeg", "-colorspace CMYK -quality 95"},
    {"photo.JPG", "-sampling-factor 2x1 -quality 88"},
};

}  // namespace

TEST_CASE("54 faces in mixed formats give one edition, each face at its size and with its ink") {
    const Scratch scratch("mixed-deck");
    const fs::path cards = scratch / "cards";
    fs::create_directories(cards);
    int number = 0;
    for (const Kind& kind : kinds) {
        const std::string first = (cards / ("1-" + std::string(kind.name))).string();
        REQUIRE(
            run_command("convert " + quoted(std::string(PALEPROOF_DEMO_DECK) + "/lampwing.png") +
                        " -units PixelsPerInch -density 300 " + kind.options + " " + quoted(first))
                .status == 0);
        for (const char* more : {"2-", "3-"}) {
            fs::copy_file(first, cards / (more + std::string(kind.name)));
        }
        number += 3;
    }
    REQUIRE(number == 54);
    const fs::path out = scratch / "out";
    const auto made = run_tool("make " + quoted(cards.string()) + " -o " + quoted(out.string()));
    INFO(made.output);
    CHECK((made.status == 0 || made.status == 3));

    const auto report = json_of(out / "report.json");
    CHECK(report.at("deck").at("faces") == 54);
    CHECK(report.at("deck").at("cards") == 54);
    std::map<std::string, double> ink;
    for (const auto& face : report.at("faces")) {
        CAPTURE(face.at("name").get<std::string>());
        CHECK(face.at("trim_mm") == nlohmann::json::array({63.5, 88.9}));
        CHECK(face.at("ppi").get<double>() == doctest::Approx(300.0).epsilon(0.001));
        CHECK(face.at("ink").at("proof").at("k").get<double>() <= 0.122);
        CHECK(fs::exists(out / "faces" / (face.at("name").get<std::string>() + ".png")));
        ink[face.at("source").get<std::string>()] = face.at("ink").at("source").at("total");
    }
    // The face costs about the same ink in each kind that keeps its colors.
    for (const char* same :
         {"rgb-16.png", "rgb-adam7.png", "rgba.png", "rgba-16.png", "palette-8.png", "baseline.jpg",
          "half-chroma.jpg", "progressive.jpg", "photo.JPG"}) {
        CAPTURE(same);
        CHECK(ink.at("1-" + std::string(same)) ==
              doctest::Approx(ink.at("1-rgb.png")).epsilon(0.03).scale(0.0));
    }
    CHECK(run_command("pdfinfo " + quoted((out / "pages.pdf").string()))
              .output.find("Pages:           54") != std::string::npos);
    for (const char* file : {"pages.pdf", "sheets-letter.pdf", "sheets-a4.pdf"}) {
        CHECK(run_command("qpdf --check " + quoted((out / file).string())).status == 0);
    }
    // 54 cards, nine a sheet.
    for (const auto& sheet : report.at("sheets")) {
        CHECK(sheet.at("pages") == 6);
        CHECK(sheet.at("unused") == 0);
    }
}
