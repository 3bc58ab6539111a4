// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The hand-off, colors of PDFs and "only what changed", through the tool and against the outside:
// poppler, Ghostscript, MuPDF, qpdf.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "cli/tool.h"

using namespace paleproof::test;

namespace {

namespace fs = std::filesystem;

std::string path(const fs::path& file) { return quoted(file.string()); }

std::string demo_list() { return quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv"); }

/// What a caller does that knows nothing of us: reads a CSV as RFC 4180 has it, one row a line.
std::vector<std::vector<std::string>> rows_of(const std::string& csv) {
    std::vector<std::vector<std::string>> rows;
    std::istringstream lines(csv);
    for (std::string line; std::getline(lines, line);) {
        REQUIRE(line.ends_with('\r'));
        line.pop_back();
        rows.emplace_back();
        std::string cell;
        bool within_quotes = false;
        for (std::size_t i = 0; i < line.size(); ++i) {
            if (line[i] == '"' && within_quotes && i + 1 < line.size() && line[i + 1] == '"') {
                cell += line[i++];
            } else if (line[i] == '"') {
                within_quotes = !within_quotes;
            } else if (line[i] == ',' && !within_quotes) {
                rows.back().push_back(std::exchange(cell, {}));
            } else {
                cell += line[i];
            }
        }
        rows.back().push_back(cell);
    }
    return rows;
}

/// Ghostscript's pdfwrite, poppler and MuPDF read a file without a word of complaint.
void check_clean(const fs::path& file) {
    CAPTURE(file.string());
    const auto checked = run_command("qpdf --check " + path(file));
    CHECK(checked.status == 0);
    CHECK(checked.output.find("WARNING") == std::string::npos);
    const auto rewritten = run_command("gs -q -o /dev/null -sDEVICE=pdfwrite " + path(file));
    CHECK(rewritten.status == 0);
    CHECK_MESSAGE(rewritten.output.empty(), rewritten.output);
    const auto drawn = run_command("pdftoppm -r 20 " + path(file) +
                                   " /dev/null/x 2>&1 | grep -v "
                                   "'Could not open\\|Error opening'");
    CHECK_MESSAGE(drawn.output.find("Syntax") == std::string::npos, drawn.output);
    const auto mupdf = run_command("mutool draw -q -r 20 -o /dev/null -F pnm " + path(file));
    CHECK(mupdf.status == 0);
    // Debian builds MuPDF without color management, and MuPDF says so once.
    const std::string complaints =
        std::regex_replace(mupdf.output, std::regex("warning: ICC support is not available\n"), "");
    CHECK_MESSAGE(complaints.find("warning") == std::string::npos, complaints);
}

/// A small deck of three faces and a back, drawn by ImageMagick.
void draw_deck(const fs::path& folder) {
    const char* const text[] = {"Moth 3", "Lamp 1", "Gate 7"};
    for (int i = 0; i < 3; ++i) {
        const auto drawn = run_command(
            "convert -size 750x1050 plasma:#204060-#c0a080 -seed " + std::to_string(i + 1) +
            " -blur 0x8 -fill white -draw 'roundrectangle 60,600 690,980 20,20' -fill black "
            "-pointsize 90 -draw \"text 120,750 '" +
            text[i] +
            "'\" -units PixelsPerInch -density "
            "300 " +
            path(folder / (std::string("card-") + std::to_string(i) + ".png")));
        REQUIRE_MESSAGE(drawn.status == 0, drawn.output);
    }
    const auto back =
        run_command("convert -size 750x1050 pattern:circles -units PixelsPerInch -density 300 " +
                    path(folder / "rear.png"));
    REQUIRE_MESSAGE(back.status == 0, back.output);
}

}  // namespace

TEST_CASE("handoff.csv and handoff.json tell what poppler finds in pages.pdf, page by page") {
    const auto rows = rows_of(read_text(demo_edition() / "handoff.csv"));
    const auto json = json_of(demo_edition() / "handoff.json");
    REQUIRE(rows.size() == json.at("faces").size() + 1);
    const auto boxes =
        run_command("pdfinfo -box -f 1 -l 999 " + path(demo_edition() / "pages.pdf"));
    const auto labels = json_of(demo_edition() / "edition.json");
    std::map<std::string, std::size_t> column;
    for (std::size_t i = 0; i < rows[0].size(); ++i) column[rows[0][i]] = i;
    const double mm = 72.0 / 25.4;
    for (std::size_t i = 1; i < rows.size(); ++i) {
        const auto& row = rows[i];
        const auto cell = [&](const char* name) { return row.at(column.at(name)); };
        const auto number = [&](const char* name) { return std::stod(cell(name)); };
        CAPTURE(cell("face"));
        const auto& face = json.at("faces")[i - 1];
        CHECK(face.at("face") == cell("face"));
        CHECK(face.at("file") == cell("file"));
        CHECK(face.at("hash") == cell("hash"));
        CHECK(face.at("copies") == std::stoi(cell("copies")));
        CHECK(fs::exists(demo_edition() / cell("file")));
        const std::regex trim("Page +" + cell("page") +
                              R"( TrimBox: +([\d.]+) +([\d.]+) +([\d.]+) +([\d.]+))");
        const std::regex media("Page +" + cell("page") +
                               R"( MediaBox: +([\d.]+) +([\d.]+) +([\d.]+) +([\d.]+))");
        std::smatch t;
        std::smatch m;
        REQUIRE(std::regex_search(boxes.output, t, trim));
        REQUIRE(std::regex_search(boxes.output, m, media));
        // pdfinfo prints hundredths of a point.
        CHECK(std::abs(std::stod(m[3]) - number("page_width_mm") * mm) <= 0.011);
        CHECK(std::abs(std::stod(m[4]) - number("page_height_mm") * mm) <= 0.011);
        CHECK(std::abs(std::stod(t[1]) - number("trim_x_mm") * mm) <= 0.011);
        CHECK(std::abs(std::stod(t[3]) - std::stod(t[1]) - number("trim_width_mm") * mm) <= 0.021);
        // PDF counts from the foot, the hand-off from the head.
        CHECK(std::abs(std::stod(m[4]) - std::stod(t[4]) - number("trim_y_mm") * mm) <= 0.021);
        const auto picture = run_command("identify -units PixelsPerInch -format '%w %h %x' " +
                                         path(demo_edition() / cell("file")));
        std::istringstream sizes(picture.output);
        double width = 0;
        double height = 0;
        double ppi = 0;
        sizes >> width >> height >> ppi;
        CHECK(width == number("width_px"));
        CHECK(height == number("height_px"));
        // A bleed of half a pixel on the source is rounded to whole ones: up to a pixel in all.
        CHECK(std::abs(number("width_px") / ppi * 25.4 - number("page_width_mm")) <=
              25.4 / ppi + 0.01);
    }
}

TEST_CASE("page labels are the names of the faces, Info and XMP have the deck's title") {
    const auto json =
        run_command("qpdf --json --json-key=pagelabels " + path(demo_edition() / "pages.pdf"));
    const auto labels = nlohmann::json::parse(json.output).at("pagelabels");
    const auto faces = json_of(demo_edition() / "handoff.json").at("faces");
    REQUIRE(labels.size() == faces.size());
    for (std::size_t i = 0; i < faces.size(); ++i) {
        const std::string label = labels[i].at("label").at("/P");
        CHECK(label == "u:" + faces[i].at("face").get<std::string>());
    }
    const std::string title = json_of(demo_edition() / "handoff.json").at("title");
    for (const char* name : {"pages.pdf", "sheets-a4.pdf"}) {
        const auto info = run_command("pdfinfo " + path(demo_edition() / name));
        CHECK(info.output.find("Title:           " + title) != std::string::npos);
        const auto xmp = run_command("pdfinfo -meta " + path(demo_edition() / name));
        CHECK(xmp.output.find(title + "</rdf:li>") != std::string::npos);
    }
}

TEST_CASE("hatched faces are 1 bit in the smaller packing, and poppler unpacks them exactly") {
    const Scratch scratch("hatch-pages");
    const auto made = run_tool("make " + demo_list() + " --style hatch --papers letter -o " +
                               path(scratch / "edition"));
    REQUIRE((made.status == 0 || made.status == 3));
    const fs::path edition = scratch / "edition";
    for (const char* name : {"pages.pdf", "sheets-letter.pdf"}) check_clean(edition / name);
    const auto listed = run_command("pdfimages -list " + path(edition / "pages.pdf") +
                                    " | awk 'NR>2 {print $6, $7, $8, $9}' | sort | uniq -c");
    CHECK_MESSAGE(listed.output.find("gray 1 1 ccitt") != std::string::npos, listed.output);
    const auto unpacked =
        run_command("pdfimages -png " + path(edition / "pages.pdf") + " " + path(scratch / "page"));
    REQUIRE(unpacked.status == 0);
    const auto faces = json_of(edition / "handoff.json").at("faces");
    std::uintmax_t stored = 0;
    for (std::size_t i = 0; i < faces.size(); ++i) {
        const fs::path file = edition / faces[i].at("file").get<std::string>();
        stored += fs::file_size(file);
        std::string number = std::to_string(i);
        number.insert(0, 3 - number.size(), '0');
        const auto compared = run_command("compare -metric AE " + path(file) + " " +
                                          path(scratch / ("page-" + number + ".png")) + " null:");
        CAPTURE(file.string());
        CHECK(compared.output == "0");
    }
    // The smaller packing is no larger than that of the PNGs.
    CHECK(static_cast<double>(fs::file_size(edition / "pages.pdf")) <=
          1.1 * static_cast<double>(stored));
    // What the patterns stand for is on the first sheet, and on no other.
    const auto first =
        run_command("pdftotext -f 1 -l 1 " + path(edition / "sheets-letter.pdf") + " -");
    const auto second =
        run_command("pdftotext -f 2 -l 2 " + path(edition / "sheets-letter.pdf") + " -");
    const auto legend = json_of(edition / "edition.json").at("legend");
    REQUIRE(legend.size() >= 2);
    for (const auto& entry : legend) {
        const std::string label = entry.at("label");
        CHECK_MESSAGE(first.output.find(label) != std::string::npos, label);
        CHECK_MESSAGE(second.output.find("\n" + label + "\n") == std::string::npos, label);
    }
}

TEST_CASE("color faces are tagged sRGB, or inks whose sums Ghostscript counts as the report does") {
    const Scratch scratch("colors");
    for (const char* color : {"rgb", "cmyk"}) {
        CAPTURE(std::string(color));
        const fs::path out = scratch / color;
        const auto made = run_tool("make " + demo_list() +
                                   " --style color --bleed 0mm --papers a4 "
                                   "--pdf-color " +
                                   color + " -o " + path(out));
        REQUIRE((made.status == 0 || made.status == 3));
        for (const char* name : {"pages.pdf", "sheets-a4.pdf"}) check_clean(out / name);
        const auto listed = run_command("pdfimages -list " + path(out / "pages.pdf") +
                                        " | awk 'NR>2 {print $6}' | sort -u");
        CHECK(listed.output == (std::string(color) == "rgb" ? "icc\n" : "cmyk\n"));
    }
    const auto intents = run_command("qpdf --json " + path(scratch / "cmyk/pages.pdf"));
    CHECK(intents.output.find("\"/OutputIntents\"") != std::string::npos);
    CHECK(intents.output.find("/GTS_PDFX") != std::string::npos);
    const auto counted = run_command("gs -q -dNOSAFER -o - -sDEVICE=ink_cov -r100 " +
                                     path(scratch / "cmyk/pages.pdf"));
    std::istringstream lines(counted.output);
    const auto faces = json_of(scratch / "cmyk/report.json").at("faces");
    std::size_t page = 0;
    for (std::string line; std::getline(lines, line);) {
        std::istringstream words(line);
        double ink[4] = {};
        if (!(words >> ink[0] >> ink[1] >> ink[2] >> ink[3])) continue;
        REQUIRE(page < faces.size());
        const auto& proof = faces[page].at("ink").at("proof");
        CAPTURE(faces[page].at("name"));
        int i = 0;
        for (const char* name : {"c", "m", "y", "k"}) {
            CHECK(std::abs(ink[i++] / 100.0 - proof.at(name).get<double>()) <= 0.01);
        }
        ++page;
    }
    CHECK(page == faces.size());
    const auto black = run_tool("make " + demo_list() +
                                " --style color --separation black "
                                "--pdf-color cmyk -o " +
                                path(scratch / "black"));
    CHECK(black.status == 2);
    CHECK(black.output.find("four inks") != std::string::npos);
    CHECK_FALSE(fs::exists(scratch / "black/pages.pdf"));
}

TEST_CASE("exporting faces again changes nothing, a changed digit changes its card alone") {
    const Scratch scratch("changed");
    const fs::path deck = scratch / "deck";
    fs::create_directories(deck);
    draw_deck(deck);
    for (const char* style : {"gray", "color", "line"}) {
        CAPTURE(std::string(style));
        const fs::path again = scratch / (std::string("again-") + style);
        fs::create_directories(again);
        const std::string options =
            std::string(" --style ") + style + " --size poker --papers a4 --back rear ";
        const fs::path first = scratch / (std::string("first-") + style);
        const auto made = run_tool("make " + path(deck) + options + "-o " + path(first));
        REQUIRE((made.status == 0 || made.status == 3));
        // Card 0: a JPEG. Card 1: its digit changes. Card 2: other compression. A new card 3.
        for (const std::string& line :
             {"convert " + path(deck / "card-0.png") + " -quality 92 " + path(again / "card-0.jpg"),
              "convert " + path(deck / "card-1.png") +
                  " -fill white -draw 'rectangle 330,660 450,770' -fill black -pointsize 90 -draw "
                  "\"text 365,750 '4'\" " +
                  path(again / "card-1.png"),
              "convert " + path(deck / "card-2.png") +
                  " -define png:compression-level=1 -define png:compression-filter=0 " +
                  path(again / "card-2.png"),
              "convert " + path(deck / "card-2.png") + " -flop " + path(again / "card-3.png"),
              "cp " + path(deck / "rear.png") + " " + path(again / "rear.png")}) {
            REQUIRE(run_command(line).status == 0);
        }
        const fs::path second = scratch / (std::string("second-") + style);
        const auto remade = run_tool("make " + path(again) + options + "--changed-since " +
                                     path(first / "edition.json") + " -o " + path(second));
        REQUIRE((remade.status == 0 || remade.status == 3));
        const auto changes = json_of(second / "changes.json");
        std::map<std::string, std::string> change;
        for (const auto& card : changes.at("cards")) {
            CAPTURE(card.at("reason").get<std::string>());
            change[card.at("face")] = card.at("change");
        }
        CHECK(change["card-0"] == "unchanged");
        CHECK(change["card-1"] == "changed");
        CHECK(change["card-2"] == "unchanged");
        CHECK(change["card-3"] == "added");
        MESSAGE(style << ": " << changes.dump());
        CHECK(remade.output.find("1 changed, 1 added, 0 removed, 2 unchanged") !=
              std::string::npos);
        CHECK(fs::exists(second / "sheets-a4.pdf"));
        const auto pictures = run_command("pdfimages -list " + path(second / "changed-a4.pdf") +
                                          " | awk 'NR>2 {print $11}' | sort -u | wc -l");
        CHECK(std::stoi(pictures.output) == 3);  // two fronts and the back
        check_clean(second / "changed-a4.pdf");
        // The same through `sheets`, from the folder of the earlier edition.
        const std::string before = read_text(second / "changed-a4.pdf");
        const auto imposed = run_tool("sheets " + path(second) + " --changed-since " + path(first));
        CHECK(imposed.status == 0);
        CHECK(read_text(second / "changed-a4.pdf") == before);
        CHECK(fs::exists(second / "sheets-a4.pdf"));
        // Nothing changed since itself: nothing to print, and the old file goes.
        const auto none = run_tool("sheets " + path(second) + " --changed-since " + path(second));
        CHECK(none.status == 0);
        CHECK(none.output.find("A4: nothing") != std::string::npos);
        CHECK_FALSE(fs::exists(second / "changed-a4.pdf"));
    }
}

TEST_CASE("an edition to compare with that is none is refused in one line") {
    const Scratch scratch("since");
    const auto sheets = run_tool("sheets " + path(demo_edition()) + " --changed-since " +
                                 path(scratch / "nothing.json"));
    CHECK(sheets.status == 2);
    CHECK(sheets.output.find("edition.json") != std::string::npos);
    scratch.write("bad.json", "{}");
    CHECK(run_tool("sheets " + path(demo_edition()) + " --changed-since " +
                   path(scratch / "bad.json"))
              .status == 2);
}

TEST_CASE("a test page is two pages that say how to use it") {
    const Scratch scratch("test-page");
    fs::copy(demo_edition(), scratch / "edition", fs::copy_options::recursive);
    const auto made = run_tool("sheets " + path(scratch / "edition") +
                               " --test-page --duplex long-edge --papers a4");
    CHECK(made.status == 0);
    const fs::path file = scratch / "edition/test-page-a4.pdf";
    REQUIRE(fs::exists(file));
    CHECK(fs::exists(scratch / "edition/sheets-a4.pdf"));
    check_clean(file);
    const auto text = run_command("pdftotext " + path(file) + " -");
    for (const char* part : {"back_shift", "100 mm", "against the light", "long edge"}) {
        CHECK_MESSAGE(text.output.find(part) != std::string::npos, part);
    }
    CHECK(run_command("pdfinfo " + path(file)).output.find("Pages:           2") !=
          std::string::npos);
}

TEST_CASE("what cannot be imposed is told in a clear line") {
    const Scratch scratch("bad-sheets");
    const fs::path deck = scratch / "deck";
    fs::create_directories(deck);
    draw_deck(deck);
    const fs::path out = scratch / "edition";
    REQUIRE(run_tool("make " + path(deck) + " --size poker --papers a4 -o " + path(out)).status !=
            2);
    const struct {
        std::string arguments;
        const char* says;
    } table[] = {
        {"sheets " + path(out) + " --papers 50x80mm", "expected cards of at most 40 x 70 mm"},
        {"sheets " + path(out) + " --margin 50mm --papers 100x150mm", "leaves room for cards"},
        {"sheets " + path(out) + " --layout fold --papers 70x100mm", "fold"},
        {"sheets " + path(out) + " --layout fold --duplex long-edge", "one side"},
        {"sheets " + path(out) + " --gutter 4", "unit"},
        {"sheets " + path(out) + " --guide-weight 5mm", "0.05pt to 2pt"},
        {"sheets " + path(out) + " --guide-gray 5%", "10% to 100%"},
        {"sheets " + path(out) + " --order ink", "deck, packed, even-ink"},
        {"make " + path(deck) + " --back reer -o " + path(scratch / "x"), "did you mean rear"},
    };
    for (const auto& row : table) {
        CAPTURE(row.arguments);
        const auto result = run_tool(row.arguments);
        CHECK(result.status == 2);
        CHECK_MESSAGE(result.output.find(row.says) != std::string::npos, result.output);
        CHECK(std::ranges::count(result.output, '\n') == 1);
    }
    // Copies in a deck list: -1 and 10,001 are refused, 0 and 10,000 are not.
    for (const auto& [copies, status] : {std::pair{"-1", 2}, {"10001", 2}, {"x", 2}}) {
        std::ofstream(deck / "deck.csv") << "face,copies\ncard-0.png," << copies << "\n";
        const auto result =
            run_tool("make " + path(deck / "deck.csv") + " -o " + path(scratch / "copies"));
        CHECK(result.status == status);
        CHECK(result.output.find("from 0 to 10000") != std::string::npos);
    }
    std::ofstream(deck / "deck.csv") << "face,copies,back\ncard-0.png,10000,rear.png\n"
                                        "card-1.png,0,\n";
    const auto many = run_tool("make " + path(deck / "deck.csv") + " --size poker --papers a4 -o " +
                               path(scratch / "copies"));
    CHECK((many.status == 0 || many.status == 3));
    // 9 a sheet, fronts and backs: 2 x ceil(10000 / 9).
    CHECK(run_command("pdfinfo " + path(scratch / "copies/sheets-a4.pdf"))
              .output.find("Pages:           2224") != std::string::npos);
    // A back that does not exist: the card is made, the report lists the back, the status says so.
    std::ofstream(deck / "deck.csv") << "face,back\ncard-0.png,nowhere.png\n";
    const auto missing = run_tool("make " + path(deck / "deck.csv") +
                                  " --size poker --papers a4 -o " + path(scratch / "missing"));
    CHECK(missing.status == 2);
    CHECK(missing.output.find("face-unreadable") != std::string::npos);
    CHECK(missing.output.find("nowhere") != std::string::npos);
    CHECK(fs::exists(scratch / "missing/sheets-a4.pdf"));
}
