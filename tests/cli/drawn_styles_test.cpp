// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Editions in the drawn styles against the outside: PNG headers by their bytes, poppler,
// Ghostscript.
#include <doctest/doctest.h>

#include <cmath>
#include <sstream>
#include <vector>

#include "cli/tool.h"

using namespace paleproof::test;

namespace {

std::vector<double> black_of_pages(const std::string& pdf) {
    std::vector<double> pages;
    std::istringstream stream(
        run_command("gs -q -dNOSAFER -o - -sDEVICE=ink_cov -r600 " + quoted(pdf)).output);
    stream.imbue(std::locale::classic());
    for (std::string line; std::getline(stream, line);) {
        std::istringstream words(line);
        words.imbue(std::locale::classic());
        double c = 1, m = 1, y = 1, k = 0;
        if (!(words >> c >> m >> y >> k)) continue;
        CHECK(c + m + y == 0.0);
        pages.push_back(k / 100.0);
    }
    return pages;
}

std::uint32_t big_endian(const std::string& bytes, std::size_t at) {
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < 4; ++i)
        value = value << 8U | static_cast<unsigned char>(bytes.at(at + i));
    return value;
}

}  // namespace

TEST_CASE("drawn proofs are 1-bit, 600 ppi, and as black as report.json and Ghostscript say") {
    for (const std::string style : {"line", "hatch"}) {
        CAPTURE(style);
        const Scratch scratch("drawn-" + style);
        const auto made = run_tool(
            "make " + quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv") + " --style " + style +
            " --bleed 0mm --papers a4 -o " + quoted((scratch / "edition").string()));
        REQUIRE((made.status == 0 || made.status == 3));
        const auto report = json_of(scratch / "edition/report.json");
        const auto& faces = report.at("faces");
        const auto pages = black_of_pages((scratch / "edition/pages.pdf").string());
        REQUIRE(pages.size() == faces.size());
        const double budget = report.at("settings").at("ink_budget").get<double>();
        for (std::size_t i = 0; i < pages.size(); ++i) {
            const auto& face = faces[i];
            CAPTURE(face.at("name"));
            const double k = face.at("ink").at("proof").at("k").get<double>();
            CHECK(std::abs(pages[i] - k) <= 0.003);
            bool missed = false;
            for (const auto& finding : face.at("findings"))
                missed = missed || finding.at("rule") == "budget-missed";
            CHECK((k <= budget + 0.002) != missed);
            const std::string png = read_text(
                scratch / ("edition/faces/" + face.at("name").get<std::string>() + ".png"));
            // PNG third edition, 11.2.1: width at byte 16, height at 20, depth at 24, color at 25.
            // 2.5 x 3.5 in; whole pixels of a face with bleed of its own may lose one at 300 ppi.
            CHECK(std::abs(static_cast<int>(big_endian(png, 16)) - 1500) <= 2);
            CHECK(std::abs(static_cast<int>(big_endian(png, 20)) - 2100) <= 2);
            CHECK(png.at(24) == 1);
            CHECK(png.at(25) == 0);
            // 600 ppi = 23622 pixels a meter, in the chunk pHYs (11.3.4.3).
            CHECK(big_endian(png, png.find("pHYs") + 4) == 23622);
        }
        int kept = 0;
        for (const auto& face : faces) {
            CAPTURE(face.at("name"));
            for (const auto& finding : face.at("findings"))
                CHECK(finding.at("rule") != "text-lost");
            for (const auto& line : face.at("text"))
                kept += line.at("kept").is_boolean() && line.at("kept").get<bool>() ? 1 : 0;
        }
        CHECK(kept > 100);
        std::string legend;
        const auto record = json_of(scratch / "edition/edition.json");
        for (const auto& entry : record.at("legend"))
            legend += entry.at("label").get<std::string>() + " ";
        // The four suits of the demo deck, most of it first.
        CHECK(legend == std::string(style == "hatch" ? "green gold blue red " : ""));
        const auto images =
            run_command("pdfimages -list " + quoted((scratch / "edition/sheets-a4.pdf").string()));
        if (images.status == 0) {
            CHECK(images.output.find(" gray    1   1 ") != std::string::npos);
            CHECK(images.output.find(" gray    1   8 ") == std::string::npos);
        }
    }
}

TEST_CASE("drawn proofs are the same with any number of threads") {
    const Scratch scratch("drawn-threads");
    std::filesystem::create_directories(scratch / "deck");
    for (const char* face : {"lampwing.png", "still-pond.png", "harvest-moon.jpg"}) {
        std::filesystem::copy_file(std::filesystem::path(PALEPROOF_DEMO_DECK) / face,
                                   scratch / ("deck/" + std::string(face)));
    }
    for (const std::string style : {"line", "hatch"}) {
        CAPTURE(style);
        const std::string make = "make " + quoted((scratch / "deck").string()) + " --style " +
                                 style + " --papers a4 --threads ";
        const std::string one = (scratch / (style + "-one")).string();
        const std::string three = (scratch / (style + "-three")).string();
        REQUIRE(run_tool(make + "1 -o " + quoted(one)).status != 2);
        REQUIRE(run_tool(make + "3 -o " + quoted(three)).status != 2);
        CHECK(content_of(one) == content_of(three));
    }
}
