// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Bleed and true size through the tool itself. Faces are drawn by ImageMagick, sizes and pixels of
// the proofs are read by ImageMagick and poppler: outside programs.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <regex>
#include <string>
#include <utility>
#include <vector>

#include "cli/tool.h"

using namespace paleproof::test;

namespace {

bool says(const CommandResult& result, const std::string& part) {
    return result.output.find(part) != std::string::npos;
}

/// One face drawn by ImageMagick, and what the tool makes of it.
class Drawn {
  public:
    explicit Drawn(const std::string& name, const std::string& drawing) : scratch_(name) {
        std::filesystem::create_directories(scratch_ / "cards");
        const auto drawn = run_command("convert " + drawing + " -depth 8 -units PixelsPerInch " +
                                       quoted((scratch_ / "cards/a.png").string()));
        REQUIRE_MESSAGE(drawn.status == 0, drawn.output);
    }
    CommandResult make(const std::string& options) const {
        return run_tool("make " + quoted((scratch_ / "cards").string()) + " --papers a4 -o " +
                        quoted((scratch_ / "out").string()) + " " + options);
    }
    nlohmann::json face() const { return json_of(scratch_ / "out/report.json").at("faces")[0]; }
    std::string proof() const { return quoted((scratch_ / "out/faces/a.png").string()); }
    std::string pages() const { return quoted((scratch_ / "out/pages.pdf").string()); }
    std::string source() const { return quoted((scratch_ / "cards/a.png").string()); }
    std::string cards() const { return quoted((scratch_ / "cards").string()); }
    std::string html() const { return read_text(scratch_ / "out/report.html"); }

  private:
    Scratch scratch_;
};

std::string size_of(const std::string& file) {
    return run_command("identify -format %wx%h " + file).output;
}

/// Pixels that differ between a part of the proof and a part of the source.
std::string differing(const std::string& proof, const std::string& part, const std::string& source,
                      const std::string& source_part) {
    return run_command("compare -metric AE " + proof + "'[" + part + "]' " + source + "'[" +
                       source_part + "]' null:")
        .output;
}

bool fine(const CommandResult& made) { return made.status == 0 || made.status == 3; }

bool has_rule(const nlohmann::json& face, const std::string& rule) {
    for (const auto& finding : face.at("findings")) {
        if (finding.at("rule") == rule) return true;
    }
    return false;
}

const std::string plasma = "-seed 7 -size 750x1050 plasma:tomato-navy -density 300";

}  // namespace

TEST_CASE("pixels inside the trim stay bit for bit with every method, and the page is true size") {
    const Drawn drawn("methods", plasma);
    for (const char* method : {"automatic", "flat", "continue", "pattern", "mirror", "stretch",
                               "mirror,continue,none,flat"}) {
        CAPTURE(method);
        const auto made = drawn.make("--style color --size poker --bleed 3mm --bleed-method " +
                                     std::string(method));
        REQUIRE_MESSAGE(fine(made), made.output);
        const bool bottomless = std::string(method).find("none") != std::string::npos;
        CHECK(size_of(drawn.proof()) == (bottomless ? "822x1086" : "822x1122"));
        CHECK(differing(drawn.proof(), "750x1050+36+36", drawn.source(), "750x1050+0+0") == "0");
        if (bottomless) {
            CHECK(drawn.face().at("bleed").at("method").at("top") == "mirror");
            CHECK(drawn.face().at("bleed").at("method").at("bottom") == "none");
        }
    }
    CHECK(drawn.make("--bleed-method mirror,none").status == 2);
    CHECK(says(drawn.make("--bleed-method smear"), "automatic, flat, continue"));
    CHECK(says(drawn.make("--bleed 11mm"), "at most 10 mm"));
}

TEST_CASE("bleed of 10 mm works at 72 and at 600 ppi; boxes nest as ISO 32000-1, 14.11.2 asks") {
    for (const auto& [a_ppi, width, height] :
         {std::array{72, 180, 252}, std::array{600, 1500, 2100}}) {
        const auto& ppi = a_ppi;  // clang 14 captures no bindings
        CAPTURE(ppi);
        const Drawn drawn("ppi-" + std::to_string(ppi),
                          "-seed 3 -size " + std::to_string(width) + "x" + std::to_string(height) +
                              " plasma:gold-teal -density " + std::to_string(ppi));
        const auto made = drawn.make("--style color --size poker --bleed 10mm");
        REQUIRE_MESSAGE(fine(made), made.output);
        const auto boxes = run_command("pdfinfo -box " + drawn.pages()).output;
        std::vector<std::array<double, 4>> box;
        for (const char* name : {"MediaBox", "BleedBox", "TrimBox"}) {
            std::smatch found;
            const std::regex line(std::string(name) +
                                  R"(:\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)\s+([\d.]+))");
            REQUIRE_MESSAGE(std::regex_search(boxes, found, line), boxes);
            box.push_back({std::stod(found[1]), std::stod(found[2]), std::stod(found[3]),
                           std::stod(found[4])});
        }
        for (std::size_t i = 1; i < 3; ++i) {
            CHECK(box[i - 1][0] <= box[i][0]);
            CHECK(box[i - 1][1] <= box[i][1]);
            CHECK(box[i - 1][2] >= box[i][2]);
            CHECK(box[i - 1][3] >= box[i][3]);
        }
        // 2.5 x 3.5 in = 180 x 252 pt; 10 mm = 28.35 pt and at most one pixel more.
        CHECK(box[2][2] - box[2][0] == doctest::Approx(180.0).epsilon(0.0002));
        CHECK(box[2][3] - box[2][1] == doctest::Approx(252.0).epsilon(0.0002));
        CHECK(box[2][0] - box[1][0] >= 28.34);
        CHECK(box[2][0] - box[1][0] <= 28.35 + 72.0 / ppi);
    }
}

TEST_CASE("printed crop marks are recognised and cut away") {
    // A card of 750 x 1050 px at 150,150 with 30 px of art past it, marks 40 px outside the art.
    std::string marks;
    for (const int x : {150, 900}) {
        marks += " line " + std::to_string(x) + ",10 " + std::to_string(x) + ",80";
        marks += " line " + std::to_string(x) + ",1270 " + std::to_string(x) + ",1340";
    }
    for (const int y : {150, 1200}) {
        marks += " line 10," + std::to_string(y) + " 80," + std::to_string(y);
        marks += " line 970," + std::to_string(y) + " 1040," + std::to_string(y);
    }
    const Drawn drawn(
        "marks",
        "-size 1050x1350 xc:white \\( -seed 5 -size 810x1110 plasma:purple-orange \\) "
        "-geometry +120+120 -composite -fill none -stroke black -strokewidth 2 "
        "+antialias -draw '" +
            marks + "' -density 300");
    const auto made = drawn.make("--style color --size poker --bleed 2.54mm");
    REQUIRE_MESSAGE(fine(made), made.output);
    // The marks are found to a pixel.
    int width = 0;
    int height = 0;
    REQUIRE(std::sscanf(size_of(drawn.proof()).c_str(), "%dx%d", &width, &height) == 2);
    CHECK(std::abs(width - 810) <= 1);
    CHECK(std::abs(height - 1110) <= 1);
    const auto trim = drawn.face().at("trim_px");
    CHECK(std::abs(trim[0].get<int>() - 150) <= 1);
    CHECK(std::abs(trim[1].get<int>() - 150) <= 1);
    CHECK(std::abs(trim[2].get<int>() - 750) <= 1);
    CHECK(std::abs(trim[3].get<int>() - 1050) <= 1);
    const std::string note = drawn.face().at("notes").dump();
    CHECK(note.find("crop marks") != std::string::npos);
    CHECK_FALSE(has_rule(drawn.face(), "size-off"));
}

TEST_CASE("a picture of another shape is kept, cut or stretched, and never in silence") {
    const Drawn drawn("fit", "-seed 9 -size 620x880 plasma:olive-pink -density 254");
    struct Case {
        const char* fit;
        const char* size;
        const char* words;
    };
    for (const Case& c :
         {Case{"keep", "630x880", "kept whole"}, Case{"crop", "620x866", "cut evenly"},
          Case{"scale", "630x880", "stretched to fit"}}) {
        CAPTURE(c.fit);
        const auto made =
            drawn.make("--style color --size 63x88mm --bleed 0mm --fit " + std::string(c.fit));
        REQUIRE_MESSAGE(fine(made), made.output);
        CHECK(size_of(drawn.proof()) == c.size);
        CHECK(has_rule(drawn.face(), "size-off"));
        CHECK(drawn.face().at("findings").dump().find(c.words) != std::string::npos);
    }
    REQUIRE(fine(drawn.make("--style color --size 63x88mm --bleed 0mm --fit crop")));
    CHECK(differing(drawn.proof(), "620x866+0+0", drawn.source(), "620x866+0+7") == "0");
    CHECK(says(drawn.make("--fit squeeze"), "keep, crop, scale"));
}

TEST_CASE("rounded corners are filled: no white is left on a card of one color") {
    for (const char* outside : {"white", "black", "none"}) {
        CAPTURE(outside);
        const Drawn drawn("round", std::string("-size 750x1050 xc:") + outside +
                                       " -fill '#c04020' -draw 'roundrectangle 0,0 749,1049 36,36' "
                                       "-density 300");
        const auto made = drawn.make("--style color --size poker");
        REQUIRE_MESSAGE(fine(made), made.output);
        const auto colors =
            run_command("convert " + drawn.proof() + " -unique-colors txt:- | tail -n +2");
        CHECK_MESSAGE(colors.output.find("C04020") != std::string::npos, colors.output);
        CHECK(std::count(colors.output.begin(), colors.output.end(), '\n') == 1);
    }
}

TEST_CASE(
    "the cut is simulated in check and in the report, and cut_wander sets how far it is off") {
    const Drawn drawn("cut",
                      "-size 750x1050 xc:'#604030' -fill '#d0e0a0' "
                      "-draw 'rectangle 20,40 729,1009' -density 300");
    const auto made = drawn.make("--size poker --cut-wander 1.2mm");
    REQUIRE_MESSAGE(fine(made), made.output);
    const auto cut = drawn.face().at("cut");
    CHECK(cut.at("wander_mm").get<double>() == doctest::Approx(1.2));
    CHECK(cut.at("white_mm").get<double>() == doctest::Approx(1.2).epsilon(0.02));
    CHECK(cut.at("proof_white_mm").get<double>() == 0.0);
    // Borders of 20 px = 1.69 mm: (1.69 + 1.2) / (1.69 - 1.2) = 5.9.
    CHECK(cut.at("lopsided").get<double>() == doctest::Approx(5.9).epsilon(0.15));
    CHECK(has_rule(drawn.face(), "border-uneven"));
    CHECK(drawn.html().find(": the proof, cut ") != std::string::npos);
    const auto checked = run_tool("check " + drawn.cards() + " --size poker --cut-wander 1mm");
    CHECK_MESSAGE(says(checked, "Cut        1 mm off: 1 face shows white"), checked.output);
    REQUIRE(fine(drawn.make("--size poker --cut-wander 0mm")));
    CHECK(drawn.face().at("cut").is_null());
    CHECK(says(drawn.make("--cut-wander 5mm"), "at most 3 mm"));
}

TEST_CASE("bad input: bleed larger than the image, one pixel, odd sizes, alpha, nothing at all") {
    struct Case {
        const char* name;
        const char* drawing;
    };
    for (const Case& c :
         {Case{"tiny", "-size 9x13 plasma:red-blue"}, Case{"one", "-size 1x1 xc:'#336699'"},
          Case{"odd", "-size 371x523 plasma:red-blue"}, Case{"row", "-size 300x1 xc:green"},
          Case{"alpha",
               "-size 375x525 plasma:red-blue -alpha set -channel A "
               "-evaluate set 40%"},
          Case{"clear", "-size 375x525 xc:none"},
          Case{"bits", "-size 375x525 pattern:gray50 -monochrome"}}) {
        CAPTURE(c.name);
        const Drawn drawn(c.name, c.drawing);
        for (const char* style : {"gray", "color"}) {
            const auto made = drawn.make("--size poker --bleed 10mm --style " + std::string(style));
            CAPTURE(made.output);
            CHECK(fine(made));
            const auto face = drawn.face();
            CHECK(face.at("readable").get<bool>());
            const double ppi = face.at("ppi").get<double>();
            // The proof is the trim and 10 mm on every edge, up to rounding.
            int width = 0;
            int height = 0;
            REQUIRE(std::sscanf(size_of(drawn.proof()).c_str(), "%dx%d", &width, &height) == 2);
            if (width > height) std::swap(width, height);  // a lying picture, a lying card
            CHECK(width / ppi * 25.4 == doctest::Approx(83.5).epsilon(2.5 / (ppi * 3.3) + 0.01));
            CHECK(height / ppi * 25.4 == doctest::Approx(108.9).epsilon(2.5 / (ppi * 4.3) + 0.01));
        }
    }
}
