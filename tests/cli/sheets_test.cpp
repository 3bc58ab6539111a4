// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// What `sheets` says of a grid, a fold, a gutter and cards of several sizes. Faces are drawn by
// ImageMagick; the counts are worked out by hand beside each check.
#include <doctest/doctest.h>

#include <fstream>
#include <string>

#include "cli/tool.h"

using namespace paleproof::test;

namespace {

void draw(const std::filesystem::path& file, const std::string& size, const std::string& color) {
    const auto drawn = run_command("convert -size " + size + " xc:" + color +
                                   " -density 100 -units PixelsPerInch " + quoted(file.string()));
    REQUIRE_MESSAGE(drawn.status == 0, drawn.output);
}

bool says(const CommandResult& result, const std::string& part) {
    return result.output.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("sheets says how many cards a sheet holds, folded or not, and what a gutter costs") {
    const Scratch scratch("sheets-said");
    const auto deck = scratch / "deck";
    std::filesystem::create_directories(deck);
    draw(deck / "a.png", "250x350", "'#d0a060'");
    draw(deck / "b.png", "250x350", "'#6080a0'");
    std::ofstream(deck / "deck.csv") << "face,copies,back\na.png,18,b.png\n";
    const std::string out = quoted((scratch / "out").string());
    const auto made = run_tool("make " + quoted((deck / "deck.csv").string()) +
                               " --size poker --papers letter -o " + out);
    REQUIRE_MESSAGE((made.status == 0 || made.status == 3), made.output);
    // 3 x 63.5 mm in 215.9 - 10, 3 x 88.9 mm in 279.4 - 10: 9 a sheet, fronts and backs.
    CHECK_MESSAGE(says(made, "sheets-letter.pdf: 4 pages, 3 x 3 cards a sheet\n"), made.output);
    CHECK_FALSE(says(made, "the gutter costs"));

    // Turned, 2 x 88.9 mm beside each other and 4 x 63.5 mm down: 4 cards a sheet, 18 need 5.
    const auto fold = run_tool("sheets " + out + " --layout fold");
    CHECK_MESSAGE(
        says(fold,
             "sheets-letter.pdf: 5 pages, 2 x 4 places for 4 cards a folded sheet, 2 places empty"),
        fold.output);

    // 6 mm between cards leave 3 x 2: 18 cards take 3 papers for fronts and 3 for backs.
    const auto gutter = run_tool("sheets " + out + " --layout grid --gutter bleed");
    CHECK_MESSAGE(says(gutter, "the gutter costs 2 sheets: shared cuts take 4, not 6"),
                  gutter.output);
    const auto report = json_of(scratch / "out/report.json").at("sheets")[0];
    CHECK(report.at("papers") == 4);
    CHECK(report.at("papers_shared") == 4);
    CHECK(report.at("papers_bleed") == 6);
}

TEST_CASE("cards of several sizes lie on sheets of their own, and sheets says so") {
    const Scratch scratch("sheets-sizes");
    const auto deck = scratch / "deck";
    std::filesystem::create_directories(deck);
    draw(deck / "a.png", "250x350", "'#d0a060'");  // 2.5 x 3.5 in
    draw(deck / "b.png", "275x475", "'#6080a0'");  // 2.75 x 4.75 in
    draw(deck / "c.png", "350x250", "'#90b070'");  // the first, lying
    const auto made = run_tool("make " + quoted(deck.string()) + " --papers a4 -o " +
                               quoted((scratch / "out").string()));
    REQUIRE_MESSAGE((made.status == 0 || made.status == 3), made.output);
    CHECK_MESSAGE(says(made,
                       "sheets-a4.pdf: 2 pages, 3 x 3 cards a sheet, other sizes on sheets of "
                       "their own"),
                  made.output);
}
