// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/html.h"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>

#include "color/vision.h"
#include "unit/report/outside.h"
#include "unit/report/sample_edition.h"

using namespace paleproof;
using report::report_html;
using report_sample::checked_edition;
using report_sample::large_edition;
using report_sample::sample_edition;

namespace {

/// What html5lib, a parser of the HTML standard that is not ours, makes of a page in its strict
/// mode, in which every parse error of the standard ends the reading.
nlohmann::json parsed(const std::string& html) {
    const test::CommandResult result = test::python_on(R"(
import base64, collections, hashlib, json, sys
import html5lib
parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
tree = parser.parse(open(sys.argv[1], "rb"))
elements = [e for e in tree.iter() if isinstance(e.tag, str)]
text = lambda e: "".join(e.itertext())
ids = collections.Counter(e.get("id") for e in elements if e.get("id"))
addresses = [v for e in elements for k, v in e.attrib.items()
             if (k if isinstance(k, str) else k[-1]).split("}")[-1] in
             ("href", "src", "srcset", "action", "data", "poster", "background")]
scripts = [text(e) for e in elements if e.tag == "script"]
print(json.dumps({
    "count": collections.Counter(e.tag for e in elements),
    "doubled": [i for i, n in ids.items() if n > 1],
    "dangling": [a for a in addresses if a.startswith("#") and a[1:] not in ids],
    "addresses": sorted({a.split(",")[0] for a in addresses if not a.startswith("#")}),
    "headings": [text(e).strip() for e in elements if e.tag == "h3"],
    "handlers": [k for e in elements for k in e.attrib if str(k).startswith("on")],
    "policy": [e.get("content") for e in elements if e.get("http-equiv")],
    "script_hash": [base64.b64encode(hashlib.sha256(s.encode()).digest()).decode()
                    for s in scripts],
    "unnamed": [e.get("src", "")[:40] for e in elements if e.tag == "img" and not e.get("alt")],
    "text": text(tree.find("body")),
}))
)",
                                                       html);
    REQUIRE_MESSAGE(result.status == 0, result.output);
    return nlohmann::json::parse(result.output);
}

bool holds(const nlohmann::json& page, const std::string& words) {
    return page["text"].get<std::string>().find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("the page of every kind of edition is free of parse errors, doubled ids, dead links") {
    for (const EditionResult& edition :
         {sample_edition(), checked_edition(), large_edition(3), EditionResult{}}) {
        const auto page = parsed(report_html(edition));
        CHECK(page["doubled"].empty());
        CHECK(page["dangling"].empty());
        CHECK(page["unnamed"].empty());
        CHECK(page["count"]["h1"] == 1);
    }
}

TEST_CASE("the page asks for nothing from anywhere and lets no other script run") {
    const auto page = parsed(report_html(sample_edition()));
    for (const auto& address : page["addresses"]) {
        const std::string text = address;
        CAPTURE(text);
        CHECK((text.starts_with("./") || text == "data:" || text == "data:image/jpeg;base64"));
    }
    CHECK(page["handlers"].empty());
    REQUIRE(page["count"]["script"] == 1);
    REQUIRE(page["policy"].size() == 1);
    const std::string policy = page["policy"][0];
    CHECK(policy.starts_with("default-src 'none'; img-src data:;"));
    CHECK(policy.find("script-src 'sha256-" + page["script_hash"][0].get<std::string>() + "'") !=
          std::string::npos);
    const std::string html = report_html(sample_edition());
    for (const char* trace : {"http:", "https:", "url(\"", "url('", "@import", "@font-face"}) {
        CAPTURE(trace);
        CHECK(html.find(trace) == std::string::npos);
    }
}

TEST_CASE("names and messages stand on the page as text, whatever they hold") {
    const auto page = parsed(report_html(sample_edition()));
    CHECK(holds(page, "</script><script>alert(1)</script> covers 271 %"));
    CHECK(holds(page, "Tom's \"Last\" <b>Lamp</b> & more"));
    CHECK(holds(page, "夜の果樹園"));

    const std::string hostile = "x\" onload=\"y' <img src=z> {{script}} --> ]]> \n \xFF";
    EditionResult edition = sample_edition();
    edition.title = edition.style = hostile;
    edition.cost->currency = hostile;
    for (FaceResult& face : edition.faces) {
        face.source = face.size_note = face.back = face.proof_file = hostile;
        face.notes = {hostile};
        face.bleed_method = {hostile, hostile, hostile, hostile};
        for (TextLine& line : face.text) line.words = hostile;
        for (Finding& finding : face.findings) finding.message = finding.unit = hostile;
    }
    edition.faces.front().name = hostile;
    for (Finding& finding : edition.findings) finding.face = finding.message = hostile;
    for (Twin& twin : edition.twins) twin.a = twin.where = hostile;
    for (SheetResult& sheet : edition.sheets) sheet.paper = sheet.file = hostile;
    for (Setting& setting : edition.settings) setting = {hostile, hostile, hostile};
    const auto attacked = parsed(report_html(edition));
    CHECK(attacked["handlers"].empty());
    // Not "a" and "svg": a finding whose face has another name now is told with a link of its own.
    for (const std::string tag : {"img", "script", "b"}) {
        CAPTURE(tag);
        CHECK(attacked["count"].value(tag, 0) <= page["count"].value(tag, 0));
    }
    CHECK(holds(attacked, "x\" onload=\"y' <img src=z> {{script}} --> ]]> \n \uFFFD"));
}

TEST_CASE("what to fix first is ordered by severity and names every rule that fired") {
    const auto page = parsed(report_html(sample_edition()));
    const std::vector<std::string> headings = page["headings"];
    const std::vector<std::string> expected{"Text too small 1",
                                            "Text lost in the proof 1",
                                            "Colors alike in gray 1",
                                            "File not readable 1",
                                            "Text too faint 1",
                                            "Text near the cut 1",
                                            "Colors alike to some eyes 1",
                                            "Too much ink in one place 1",
                                            "Bleed missing 5",
                                            "Art too coarse 1",
                                            "Ink budget missed 1",
                                            "Shape does not fit the card 1"};
    // Then the eight faces, and the sections of the settings.
    REQUIRE(headings.size() == expected.size() + 8 + 5);
    for (std::size_t i = 0; i < expected.size(); ++i) {
        CHECK(headings[i] == expected[i]);
    }
    CHECK(headings[expected.size()] == "Lantern Row");
    CHECK(headings[expected.size() + 7] == "Orchard back");
    CHECK(headings.back() == "sheets");
}

TEST_CASE("the page says what the edition holds") {
    const auto page = parsed(report_html(sample_edition()));
    for (const char* words :
         {"20 cards, 8 faces. The proofs take 91 % less ink than the source.", "4 errors",
          "1.87 EUR", "6 on Letter, 6 on A4", "4.5 pt, limit 6 pt", "2.4 : 1, limit 4.5 : 1",
          "added: edge drawn out", "744 \u00D7 1039 px", "63 mm \u00D7 88 mm",
          "1 lost in the proof", "min_text", "Cutting tools are sharp.", "not a medical test"}) {
        CAPTURE(words);
        CHECK(holds(page, words));
    }
    CHECK(page["count"]["img"] == 28);  // seven readable faces, source and proof, and their ink
}

TEST_CASE("what changed since an earlier edition stands with its sheets and what they save") {
    const auto page = parsed(report_html(sample_edition()));
    for (const char* words :
         {"Since gray 1a2b3c: 1 changed, 1 added, 1 removed, 1 unchanged.",
          "changed-letter.pdf: 1 sheet instead of 6, 5 saved", "saves 75 %",
          "a place differs by 40 of 255; print 3 copies", "Fallen Leaf removed"}) {
        CAPTURE(words);
        CHECK(holds(page, words));
    }
    EditionResult same = sample_edition();
    same.changes->cards = {{"Silk and Smoke", Change::unchanged, "", 3, 0}};
    same.changes->papers.front().sheets.file.clear();
    const auto unchanged = parsed(report_html(same));
    CHECK(holds(unchanged, "Nothing needs to be printed again."));
    CHECK(holds(unchanged, "Letter: nothing to print"));
    same.changes.reset();
    CHECK(holds(parsed(report_html(same)), "was not compared with an earlier one"));
}

TEST_CASE("settings that differ from the default are told from those that don't") {
    const std::string html = report_html(sample_edition());
    CHECK(html.find("class=\"chosen\"><dt>style</dt>") != std::string::npos);
    CHECK(html.find("<div><dt>bleed</dt>") != std::string::npos);
}

TEST_CASE("a check without proofs shows the sources alone") {
    const auto page = parsed(report_html(checked_edition()));
    CHECK(page["count"]["img"] == 7);
    CHECK(holds(page, "No proofs were made"));
    CHECK(holds(page, "No sheets were made."));
    CHECK(!holds(page, "less ink"));
}

TEST_CASE("an edition without faces still gives a page") {
    const auto page = parsed(report_html({}));
    CHECK(holds(page, "Untitled deck"));
    CHECK(holds(page, "0 cards, 0 faces."));
    CHECK(holds(page, "Nothing to fix"));
}

TEST_CASE("a proof that takes more ink is not called a saving") {
    EditionResult edition = sample_edition();
    for (FaceResult& face : edition.faces) {
        if (face.source_ink) {
            face.proof_ink = face.source_ink;
            face.proof_ink->total *= 1.25;
        }
    }
    const auto page = parsed(report_html(edition));
    CHECK(holds(page, "The proofs take 25 % more ink than the source."));
    CHECK(!holds(page, "less ink"));
}

TEST_CASE("a deck of 54 faces stays under 6 MB and the same edition gives the same page") {
    EditionResult edition = large_edition(54);
    // Pictures of the weight that a detailed card of 300 px takes, source and proof.
    constexpr std::size_t thumbnail_bytes = 30'000;
    constexpr std::size_t heat_bytes = 3'000;
    for (FaceResult& face : edition.faces) {
        face.source_thumbnail.jpeg.resize(thumbnail_bytes, 'x');
        face.proof_thumbnail.jpeg.resize(thumbnail_bytes, 'x');
        face.source_heat.jpeg.resize(heat_bytes, 'x');
        face.proof_heat.jpeg.resize(heat_bytes, 'x');
    }
    const std::string page = report_html(edition);
    CHECK(page.size() < report::most_page_bytes);
    CHECK(page == report_html(edition));
}

TEST_CASE("pictures that would make the page heavy lie beside it, each once and all of them") {
    EditionResult edition = large_edition(200);
    CHECK(report_html(edition).size() > report::most_page_bytes);
    const auto early = report::pictures_beside(edition.faces[7], 7);
    CHECK(early.size() == 4);
    std::vector<report::ReportPicture> pictures = report::pictures_beside(edition);
    CHECK(pictures.size() == 796);
    pictures.insert(pictures.end(), early.begin(), early.end());
    CHECK(report::pictures_beside(edition).empty());

    const std::string page = report_html(edition);
    CHECK(page.size() < report::most_page_bytes);
    std::set<std::string> names;
    for (const report::ReportPicture& picture : pictures) {
        CHECK(names.insert(picture.name).second);
        CHECK(!picture.jpeg.empty());
        CHECK(page.find("src=\"./" + picture.name + "\"") != std::string::npos);
    }
    CHECK(page.find("base64") == std::string::npos);
    const auto policy = parsed(page)["policy"][0].get<std::string>();
    CHECK(policy.starts_with("default-src 'none'; img-src data: 'self' file:;"));
}

TEST_CASE("the views of color vision use the matrices of the color room") {
    const std::string html = report_html({});
    for (const color::Vision vision :
         {color::Vision::protan, color::Vision::deutan, color::Vision::tritan}) {
        const std::string id = "id=\"see-" + std::string(name(vision)) + "\"";
        const std::size_t filter = html.find(id);
        REQUIRE(filter != std::string::npos);
        CHECK(html.substr(filter, 120).find("linearRGB") != std::string::npos);
        const std::size_t values = html.find("values=\"", filter) + 8;
        std::istringstream numbers(html.substr(values, html.find('"', values) - values));
        for (const auto& row : color::VisionModel(vision).matrix()) {
            double value = 0.0;
            for (const double expected : row) {
                numbers >> value;
                CHECK(value == doctest::Approx(expected).epsilon(1e-6));
            }
            numbers >> value >> value;  // alpha and offset
            CHECK(value == 0.0);
        }
    }
}
