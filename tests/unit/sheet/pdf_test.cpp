// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/pdf.h"

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <map>
#include <sstream>
#include <string>

#include "support/run_command.h"
#include "support/scratch.h"
#include "synthetic_face.h"

using namespace paleproof;
using namespace paleproof::sheet;
using namespace paleproof::test;

namespace fs = std::filesystem;

namespace {

struct Box {
    double left = 0, bottom = 0, right = 0, top = 0;
};

/// What `pdfinfo -box` of poppler says of a page.
std::map<std::string, Box> boxes(const fs::path& file, int page) {
    const std::string number = std::to_string(page);
    const CommandResult info =
        run_command("pdfinfo -box -f " + number + " -l " + number + " " + quoted(file.string()));
    REQUIRE(info.status == 0);
    std::map<std::string, Box> result;
    std::istringstream lines(info.output);
    std::string line;
    while (std::getline(lines, line)) {
        std::istringstream words(line);
        std::string word, name;
        int at = 0;
        Box box;
        if (words >> word >> at >> name && word == "Page" && name.ends_with("Box:") &&
            words >> box.left >> box.bottom >> box.right >> box.top) {
            result[name.substr(0, name.size() - 1)] = box;
        }
    }
    return result;
}

void check_box(const Box& box, Mm left, Mm bottom, Mm right, Mm top) {
    // pdfinfo prints two decimals: 0.005 pt = 0.0018 mm.
    CHECK(std::abs(box.left - points(left)) <= 0.0051);
    CHECK(std::abs(box.bottom - points(bottom)) <= 0.0051);
    CHECK(std::abs(box.right - points(right)) <= 0.0051);
    CHECK(std::abs(box.top - points(top)) <= 0.0051);
}

/// Every outside reader takes the file without a word.
void check_clean(const fs::path& file) {
    const std::string name = quoted(file.string());
    const CommandResult structure = run_command("qpdf --check " + name);
    CAPTURE(structure.output);
    CHECK(structure.status == 0);
    CHECK(structure.output.find("WARNING") == std::string::npos);
    for (const char* device : {"nullpage", "pdfwrite"}) {
        const CommandResult ghostscript = run_command(
            "gs -q -dNOPAUSE -dBATCH -dPDFSTOPONWARNING -sDEVICE=" + std::string(device) +
            " -sOutputFile=/dev/null " + name);
        CHECK(ghostscript.status == 0);
        CHECK(ghostscript.output == "");
    }
    const CommandResult poppler = run_command("pdftoppm -r 20 -gray " + name + " >/dev/null");
    CHECK(poppler.status == 0);
    CHECK(poppler.output == "");
    if (has_command("mutool")) {
        const CommandResult mupdf = run_command("mutool info " + name + " >/dev/null");
        CHECK(mupdf.status == 0);
        CHECK(mupdf.output == "");
    }
}

}  // namespace

TEST_CASE("pages have the boxes of ISO 32000-1, 14.11.2, as poppler reads them") {
    const auto faces = mixed_faces();
    const fs::path file = scratch("pages.pdf");
    write_pages_pdf(file, pages_of(faces), source_of(faces), {"Night Orchard", "paleproof 9", {}});
    for (std::size_t i = 0; i < faces.size(); ++i) {
        CAPTURE(i);
        const FaceShape& shape = faces[i].page.shape;
        const Mm bleed = shape.bleed.left;
        const Mm width = shape.trim.width + 2.0 * bleed;
        const Mm height = shape.trim.height + 2.0 * bleed;
        auto page = boxes(file, static_cast<int>(i) + 1);
        REQUIRE(page.size() == 5);
        check_box(page["MediaBox"], Mm{0}, Mm{0}, width, height);
        check_box(page["BleedBox"], Mm{0}, Mm{0}, width, height);
        check_box(page["TrimBox"], bleed, bleed, bleed + shape.trim.width,
                  bleed + shape.trim.height);
    }
    check_clean(file);
}

TEST_CASE("bleed of unequal widths puts the TrimBox where the trim is") {
    auto faces = mixed_faces();
    faces[0].page.shape.bleed = {{1.0}, {2.0}, {3.0}, {4.0}};
    const fs::path file = scratch("unequal.pdf");
    write_pages_pdf(file, pages_of(faces), source_of(faces), {});
    auto page = boxes(file, 1);
    check_box(page["MediaBox"], Mm{0}, Mm{0}, Mm{69.5}, Mm{92.9});
    check_box(page["TrimBox"], Mm{4.0}, Mm{3.0}, Mm{67.5}, Mm{91.9});
}

TEST_CASE("sheets are as large as their paper, by the names that poppler gives them") {
    const auto faces = mixed_faces();
    const struct {
        const char* paper;
        const char* said;
    } table[] = {{"letter", "612 x 792 pts (letter)"},
                 {"a4", "595.276 x 841.89 pts (A4)"},
                 {"a3", "841.89 x 1190.55 pts (A3)"},
                 {"tabloid", "792 x 1224 pts"},
                 {"legal", "612 x 1008 pts"}};
    for (const auto& row : table) {
        CAPTURE(std::string(row.paper));
        const fs::path file = scratch(std::string("sheets-") + row.paper + ".pdf");
        SheetOptions options;
        options.orientation = Orientation::portrait;
        write_sheets_pdf(file, some_sheets(faces, row.paper, options), pages_of(faces),
                         source_of(faces), {"Night Orchard", "paleproof 9", {}});
        const CommandResult info = run_command("pdfinfo " + quoted(file.string()));
        CHECK(info.output.find(row.said) != std::string::npos);
        CHECK(info.output.find("paleproof 9") != std::string::npos);
        CHECK(info.output.find("Date") == std::string::npos);
        check_clean(file);
    }
}

TEST_CASE("each layout is read without a warning") {
    const auto faces = mixed_faces();
    SheetOptions options;
    options.guides = Guides::ticks;
    options.gutter = {6.0};
    for (const bool fold : {false, true}) {
        options.layout = fold ? Layout::fold : Layout::grid;
        options.duplex = fold ? Duplex::none : Duplex::short_edge;
        const fs::path file = scratch(fold ? "fold.pdf" : "duplex.pdf");
        write_sheets_pdf(file, some_sheets(faces, "a3", options), pages_of(faces), source_of(faces),
                         {});
        check_clean(file);
    }
}

TEST_CASE("a viewer is told not to scale, and how to turn the paper") {
    // ISO 32000-1, 12.2, table 150.
    const auto faces = mixed_faces();
    const struct {
        Duplex duplex;
        const char* name;
    } table[] = {{Duplex::none, "/Simplex"},
                 {Duplex::long_edge, "/DuplexFlipLongEdge"},
                 {Duplex::short_edge, "/DuplexFlipShortEdge"}};
    for (const auto& row : table) {
        SheetOptions options;
        options.duplex = row.duplex;
        const fs::path file = scratch("preferences.pdf");
        write_sheets_pdf(file, some_sheets(faces, "letter", options), pages_of(faces),
                         source_of(faces), {});
        const CommandResult json = run_command("qpdf --json=2 " + quoted(file.string()));
        REQUIRE(json.status == 0);
        CHECK(json.output.find("\"/PrintScaling\": \"/None\"") != std::string::npos);
        CHECK(json.output.find("\"/PickTrayByPDFSize\": true") != std::string::npos);
        CHECK(json.output.find("\"/Duplex\": \"" + std::string(row.name) + "\"") !=
              std::string::npos);
    }
}

TEST_CASE("page labels are the names of the faces, whatever they hold") {
    auto faces = mixed_faces();
    faces[3].page.name = "a) >> /Names [(\xff";
    const fs::path file = scratch("labels.pdf");
    write_pages_pdf(file, pages_of(faces), source_of(faces), {"<b>&</b> ) endobj", "p", {}});
    check_clean(file);
    const CommandResult json = run_command("qpdf --json=2 " + quoted(file.string()));
    CHECK(json.output.find("u:moth") != std::string::npos);
    CHECK(json.output.find("u:pear (ripe)") != std::string::npos);
    CHECK(json.output.find("u:Mondlicht: größer") != std::string::npos);
    const CommandResult info = run_command("pdfinfo " + quoted(file.string()));
    CHECK(info.output.find("<b>&</b> ) endobj") != std::string::npos);
    const CommandResult metadata = run_command("pdfinfo -meta " + quoted(file.string()));
    CHECK(metadata.output.find("&lt;b&gt;&amp;&lt;/b&gt; ) endobj") != std::string::npos);
}

TEST_CASE("pictures are stored once, as they were packed, in the right color space") {
    const auto faces = mixed_faces();
    std::size_t packed = 0;
    for (const SyntheticFace& face : faces) packed += face.image.zlib.size();
    SheetOptions options;
    options.duplex = Duplex::long_edge;
    const fs::path file = scratch("once.pdf");
    write_sheets_pdf(file, some_sheets(faces, "letter", options), pages_of(faces), source_of(faces),
                     {});
    const CommandResult list = run_command("pdfimages -list " + quoted(file.string()));
    CHECK(list.output.find("gray") != std::string::npos);
    const CommandResult unpacked = run_command(
        "qpdf --qdf --object-streams=disable --stream-data="
        "preserve " +
        quoted(file.string()) +
        " - | grep -ac "
        "'/Subtype /Image'");
    CHECK(unpacked.output == std::to_string(faces.size()) + "\n");
    CHECK(fs::file_size(file) <= packed * 11 / 10 + 16384);
    const std::string bytes = read_text(file);
    for (const SyntheticFace& face : faces) {
        const std::string stream(face.image.zlib.begin(), face.image.zlib.end());
        CHECK(bytes.find(stream) != std::string::npos);
    }
    // pdfimages: page num type width height color comp bpc
    const fs::path pages = scratch("once-pages.pdf");
    write_pages_pdf(pages, pages_of(faces), source_of(faces), {});
    const CommandResult kinds = run_command("pdfimages -list " + quoted(pages.string()) +
                                            " | awk 'NR > 2 {print $6, $7, $8}'");
    CHECK(kinds.output == "gray 1 8\nrgb 3 8\ngray 1 1\ngray 1 8\n");
}

TEST_CASE("color faces are tagged with the profile that is given, gray ones never") {
    const auto faces = mixed_faces();
    PdfOptions options;
    const std::string icc = read_text("/usr/share/color/icc/ghostscript/srgb.icc");
    REQUIRE(!icc.empty());
    options.srgb_icc.assign(icc.begin(), icc.end());
    const fs::path file = scratch("tagged.pdf");
    write_pages_pdf(file, pages_of(faces), source_of(faces), options);
    const CommandResult kinds = run_command("pdfimages -list " + quoted(file.string()) +
                                            " | awk 'NR > 2 {print $6, $7, $8}'");
    CHECK(kinds.output == "gray 1 8\nicc 3 8\ngray 1 1\ngray 1 8\n");
    check_clean(file);
}

TEST_CASE("pictures come back from the file pixel by pixel") {
    const auto faces = mixed_faces();
    const fs::path file = scratch("pixels.pdf");
    write_pages_pdf(file, pages_of(faces), source_of(faces), {});
    REQUIRE(
        run_command("pdfimages " + quoted(file.string()) + " " + quoted(scratch("pixels").string()))
            .status == 0);
    const std::string color = read_text(scratch("pixels-001.ppm"));
    REQUIRE(color.starts_with("P6\n695 949\n255\n"));
    const std::string bilevel = read_text(scratch("pixels-002.pbm"));
    REQUIRE(bilevel.starts_with("P4\n690 940\n"));
    const auto byte = [](const std::string& bytes, std::size_t from_end) {
        return static_cast<unsigned char>(bytes[bytes.size() - from_end]);
    };
    int wrong = 0;
    for (std::size_t y = 0; y < 949; ++y) {
        for (std::size_t x = 0; x < 695; ++x) {
            const double mm_x = (static_cast<double>(x) + 0.5) / 10.0 - 3.0;
            const double mm_y = (static_cast<double>(y) + 0.5) / 10.0 - 3.0;
            for (std::size_t c = 0; c < 3; ++c) {
                const double wave =
                    std::sin(mm_x * (static_cast<double>(c) + 1.0) / 9) * std::cos(mm_y / 7);
                const std::size_t from_end = 695U * 949U * 3U - (y * 695 + x) * 3 - c;
                // One step: pixels are not square to the last digit.
                wrong += std::abs(byte(color, from_end) - static_cast<int>(127 + 60 * wave)) > 1;
            }
        }
    }
    constexpr std::size_t row = (690 + 7) / 8;
    for (std::size_t y = 0; y < 940; ++y) {
        for (std::size_t x = 0; x < 690; ++x) {
            // PBM: 1 is black.
            const double mm = (static_cast<double>(x) + 0.5) / 10.0 - 3.0;
            const bool black = std::fmod(mm + 9.0, 4.0) < 1.0;
            const unsigned bits = byte(bilevel, row * 940 - y * row - x / 8);
            wrong += ((bits >> (7U - x % 8U)) & 1U) != (black ? 1U : 0U);
        }
    }
    CHECK(wrong == 0);
}

TEST_CASE("gray pages use black ink alone, as much as their mean says, by Ghostscript") {
    const auto faces = mixed_faces();
    const fs::path file = scratch("ink.pdf");
    write_pages_pdf(file, pages_of(faces), source_of(faces), {});
    // Mean of 1 - value / 255: flat 128; (page 2 is in color); lines of 1 mm in 4; half black.
    const double expected[] = {1.0 - 128.0 / 255.0, -1.0, 17.25 / 69.0, 0.5};
    for (const int ppi : {72, 254}) {
        const CommandResult ink = run_command("gs -q -dNOPAUSE -dBATCH -sDEVICE=ink_cov -o - -r" +
                                              std::to_string(ppi) + " " + quoted(file.string()));
        REQUIRE(ink.status == 0);
        std::istringstream lines(ink.output);
        for (int page = 0; page < 4; ++page) {
            CAPTURE(page);
            double c = 0, m = 0, y = 0, k = 0;
            std::string words;
            REQUIRE((lines >> c >> m >> y >> k));
            std::getline(lines, words);
            // 72 ppi is too coarse to count lines of 1 mm; page 2 is in color.
            if (page == 1 || (page == 2 && ppi == 72)) continue;
            CHECK(c == 0.0);
            CHECK(m == 0.0);
            CHECK(y == 0.0);
            CHECK(std::abs(k / 100.0 - expected[page]) <= 0.005);
        }
    }
}

TEST_CASE("the lettering can be searched and is embedded") {
    const auto faces = mixed_faces();
    const fs::path file = scratch("search.pdf");
    SheetOptions options;
    write_sheets_pdf(file,
                     imposition(parse_paper("a4", "papers"), shapes_of(faces), some_cards, options,
                                "Nachtgärten (II) \\ Été"),
                     pages_of(faces), source_of(faces), {});
    const CommandResult text = run_command("pdftotext " + quoted(file.string()) + " -");
    CHECK(text.output.find("Nachtgärten (II) \\ Été") != std::string::npos);
    CHECK(text.output.find("print at 100 %, no scaling") != std::string::npos);
    CHECK(text.output.find("100 mm") != std::string::npos);
    CHECK(text.output.find("3 in") != std::string::npos);
    CHECK(text.output.find("steel rule") != std::string::npos);
    const CommandResult fonts = run_command("pdffonts " + quoted(file.string()) + " | tail -n +3");
    CHECK(fonts.output.find("Type 3") != std::string::npos);
    CHECK(fonts.output.find(" yes no  yes") != std::string::npos);
}
