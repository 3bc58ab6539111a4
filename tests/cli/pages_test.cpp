// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// pages.pdf and the sheets of a real edition against the outside: Ghostscript, poppler, qpdf.
#include <doctest/doctest.h>

#include <cmath>
#include <regex>
#include <sstream>
#include <vector>

#include "cli/tool.h"

using namespace paleproof::test;

namespace {

std::vector<std::vector<double>> numbers_by_line(const std::string& text) {
    std::vector<std::vector<double>> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) {
        std::istringstream words(line);
        words.imbue(std::locale::classic());
        std::vector<double> numbers;
        for (double number = 0; words >> number;) numbers.push_back(number);
        if (numbers.size() == 4) lines.push_back(numbers);
    }
    return lines;
}

std::string file(const char* name) { return quoted((demo_edition() / name).string()); }

}  // namespace

TEST_CASE("Ghostscript counts the ink of pages.pdf as report.json does, within 0.005 an ink") {
    // Device ink_cov of Ghostscript 10: mean tone value per ink in percent. With bleed 0mm a page
    // is the trimmed face, which is what coverage is measured on.
    const Scratch scratch("ink");
    const auto made =
        run_tool("make " + quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv") +
                 " --bleed 0mm --papers a4 -o " + quoted((scratch / "edition").string()));
    REQUIRE((made.status == 0 || made.status == 3));
    const auto counted = run_command("gs -q -dNOSAFER -o - -sDEVICE=ink_cov -r300 " +
                                     quoted((scratch / "edition/pages.pdf").string()));
    REQUIRE(counted.status == 0);
    const auto pages = numbers_by_line(counted.output);
    const auto faces = json_of(scratch / "edition/report.json").at("faces");
    REQUIRE(pages.size() == faces.size());
    for (std::size_t i = 0; i < pages.size(); ++i) {
        const auto& ink = faces[i].at("ink").at("proof");
        CAPTURE(faces[i].at("name"));
        CHECK(pages[i][0] == 0.0);
        CHECK(pages[i][1] == 0.0);
        CHECK(pages[i][2] == 0.0);
        CHECK(std::abs(pages[i][3] / 100.0 - ink.at("k").get<double>()) <= 0.005);
    }
}

TEST_CASE(
    "pdfinfo sees the true size: TrimBox of 2.5 x 3.5 in inside a BleedBox that is the page") {
    // ISO 32000-1, 14.11.2: boxes nest. 63.5 x 88.9 mm = 180 x 252 pt; 3 mm = 8.504 pt.
    const auto boxes = run_command("pdfinfo -box -f 1 -l 20 " + file("pages.pdf"));
    REQUIRE(boxes.status == 0);
    const std::regex line(
        R"((MediaBox|BleedBox|TrimBox):\s+([-\d.]+)\s+([-\d.]+)\s+([-\d.]+)\s+([-\d.]+))");
    int trims = 0;
    for (std::sregex_iterator at(boxes.output.begin(), boxes.output.end(), line), end; at != end;
         ++at) {
        const double width = std::stod((*at)[4]) - std::stod((*at)[2]);
        const double height = std::stod((*at)[5]) - std::stod((*at)[3]);
        const bool trim = (*at)[1] == "TrimBox";
        trims += trim ? 1 : 0;
        // Whole pixels of bleed: up to a pixel (0.08 mm at 300 ppi, 0.17 at 150) more than asked
        // for.
        CHECK(width >= (trim ? 179.99 : 197.0) - 0.02);
        CHECK(width <= (trim ? 180.01 : 198.1));
        CHECK(height >= (trim ? 251.99 : 269.0) - 0.02);
        CHECK(height <= (trim ? 252.01 : 270.1));
    }
    CHECK(trims == 20);
}

TEST_CASE("qpdf and Ghostscript find nothing wrong in any PDF of the edition") {
    for (const char* name : {"pages.pdf", "sheets-letter.pdf", "sheets-a4.pdf"}) {
        CAPTURE(name);
        const auto checked = run_command("qpdf --check " + file(name));
        CHECK(checked.status == 0);
        CHECK(checked.output.find("WARNING") == std::string::npos);
        const auto drawn = run_command("gs -q -o /dev/null -sDEVICE=nullpage " + file(name));
        CHECK(drawn.status == 0);
        CHECK_MESSAGE(drawn.output.empty(), drawn.output);
    }
}

TEST_CASE("gray pictures are DeviceGray, stored once a face, in pages and sheets alike") {
    for (const char* name : {"pages.pdf", "sheets-letter.pdf"}) {
        CAPTURE(name);
        const auto listed = run_command("pdfimages -list " + file(name) +
                                        " | awk 'NR>2 {print $11, $6, $7, $9}' | sort -u");
        REQUIRE(listed.status == 0);
        std::istringstream lines(listed.output);
        int objects = 0;
        for (std::string line; std::getline(lines, line);) {
            ++objects;
            CHECK_MESSAGE(line.find("gray 1 image") != std::string::npos, line);
        }
        CHECK(objects == 20);
    }
}
