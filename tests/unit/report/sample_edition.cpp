// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "unit/report/sample_edition.h"

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "unit/report/sample_art.h"

namespace paleproof::report_sample {

namespace {

constexpr int bleed_px = 35;  // 3 mm at 300 ppi
constexpr int thumbnail_px = 300;

SampleLine title(const std::string& words) { return {words, 62, 118, 1.55, 255}; }

std::vector<SampleLine> card_lines(const std::string& name) {
    return {title(name),
            {"Keep the lamp low. Each moth", 92, 752, 0.86, 40},
            {"that lands here brings one", 92, 802, 0.86, 40},
            {"pear to your basket.", 92, 852, 0.86, 40},
            {"Night Orchard 07 of 54", 92, 938, 0.5, 120}};
}

TextLine measured(const SampleLine& line) {
    TextLine text;
    text.box_px = line_box(line);
    text.confidence = 0.97;
    text.x_height = from_pixels(text.box_px.height * 0.6, {300});
    text.point_size = points(text.x_height) / 0.5;
    text.reversed = line.gray > 128;
    text.contrast = text.reversed ? 11.8 : 9.6;
    text.paper_contrast = text.reversed ? 5.9 : 6.4;
    text.proof_contrast = 7.4;
    text.kept = true;
    return text;
}

Finding finding(Rule rule, Severity severity, const std::string& face, double measured_value,
                double limit, const std::string& unit, const std::string& message,
                std::optional<RectPx> box = std::nullopt) {
    return {rule, severity, face, box, measured_value, limit, unit, message};
}

FaceResult ordinary(const std::string& name, int seed) {
    SampleCard card{seed, seed % 4, true, card_lines(name.substr(0, 16))};
    FaceResult face;
    face.name = name;
    face.source = "faces/" + name + ".png";
    face.size_px = card_px;
    face.placement = {{{63.0}, {88.0}}, {300.0}, {0, 0, card_px.width, card_px.height}, {}};
    face.copies = 3;
    face.back = "Orchard back";
    const double depth = 0.02 * (seed * 7 % 11);
    face.source_ink =
        InkUse{0.46 + depth, 0.39 + depth, 0.31, 0.21, 1.37 + 2 * depth, 2.71, {100, 200, 12, 12}};
    face.proof_ink = InkUse{0, 0, 0, 0.118 + depth / 6, 0.118 + depth / 6, 0.94, {90, 700, 12, 12}};
    for (const SampleLine& line : card.lines) {
        face.text.push_back(measured(line));
    }
    face.bleed_method = {"mirror", "mirror", "stretch", "mirror"};
    face.proof_file = "faces/" + name + ".png";
    SampleThumbnails pictures = sample_thumbnails(card, bleed_px, thumbnail_px);
    face.source_thumbnail = std::move(pictures.source);
    face.proof_thumbnail = std::move(pictures.proof);
    face.source_heat = std::move(pictures.source_heat);
    face.proof_heat = std::move(pictures.proof_heat);
    face.findings.push_back(
        finding(Rule::bleed_missing, Severity::warning, name, 0.0, 3.0, "mm",
                "The art stops at the trim on every edge; 3 mm were added, mirrored or drawn out. "
                "Export it with its own bleed."));
    return face;
}

void add_text_findings(FaceResult& face) {
    const RectPx small = face.text.back().box_px;
    face.text.back().contrast = 3.2;
    face.text.back().paper_contrast = 2.4;
    face.text.back().kept = false;
    face.findings.push_back(finding(
        Rule::text_small, Severity::error, face.name, 4.5, 6.0, "pt",
        "The collector line is 4.5 pt; home printers close it up. Set it at 6 pt or more.", small));
    face.findings.push_back(finding(Rule::text_faint, Severity::warning, face.name, 2.4, 4.5, ":1",
                                    "Gray on pale paper reaches 2.4 : 1 in print. Darken it.",
                                    small));
    face.findings.push_back(finding(Rule::text_lost, Severity::error, face.name, 0.0, 1.0, "",
                                    "The collector line was not found again in the proof.", small));
    face.findings.push_back(finding(Rule::text_at_edge, Severity::warning, face.name, 1.8, 3.0,
                                    "mm", "The title ends 1.8 mm from the cut; move it inside.",
                                    face.text.front().box_px));
}

FaceResult unreadable() {
    FaceResult face;
    face.name = "Late Frost";
    face.source = "faces/Late Frost.png";
    face.readable = false;
    face.copies = 2;
    face.back = "Orchard back";
    face.findings.push_back(
        finding(Rule::face_unreadable, Severity::error, face.name, 0, 0, "",
                "expected a PNG, found a file that ends after 1204 of 88210 bytes; export it "
                "again"));
    return face;
}

FaceResult back() {
    FaceResult face = ordinary("Orchard back", 31);
    face.copies = 0;
    face.back.clear();
    face.text.clear();
    face.bleed_present = {{3.0}, {3.0}, {3.0}, {3.0}};
    face.bleed_method = {"present", "present", "present", "present"};
    face.findings.clear();
    face.size_note = "63 x 88 mm, from the file's own resolution";
    face.notes = {"The profile names no white point; sRGB was taken."};
    return face;
}

void add_deck_content(EditionResult& edition) {
    edition.title = "Night Orchard";
    edition.style = "gray";
    edition.separation = "uncoated";
    edition.ink_budget = 0.12;
    edition.twins = {
        {Rule::gray_twins,
         "#c9603a",
         "#3a8f6c",
         "the lamp suit on \"Lantern Row\" and "
         "the pear suit on \"Hollow Pear\"",
         2.1,
         8.0,
         "",
         48.0,
         std::nullopt,
         14.0,
         12.5,
         {{"Lantern Row", {40, 0, 106, 200}}},
         {{"Hollow Pear", {40, 0, 106, 200}}},
         false,
         2},
        {Rule::vision_twins, "#8a6b1f", "#5f7d2a", "protan: ribbons of lamp and leaf on all faces",
         6.4, 10.0, "protan", 31.0, 7.25}};
    edition.sheets = {{"Letter", "sheets-letter.pdf", 6, 54, 0, 3, 3, {}},
                      {"A4", "sheets-a4.pdf", 6, 54, 0, 3, 3, {}}};
    edition.findings = {
        finding(Rule::gray_twins, Severity::error, "", 2.1, 8.0, "L*",
                "The lamp suit and the pear suit become the same gray. Make one of them lighter."),
        finding(Rule::vision_twins, Severity::warning, "", 6.4, 10.0, "dE",
                "Protan eyes see the ribbons of lamp and leaf as one. Add a symbol beside the "
                "color."),
        finding(Rule::budget_missed, Severity::note, "", 0.134, 0.12, "share",
                "Two faces need 13.4 % to keep every word; the least for the deck is 12.6 %.")};
    edition.cost = DeckCost{"EUR", 14.62, 1.87};
    edition.settings = {{"deck.size", "63 x 88 mm", "set"},
                        {"deck.bleed", "3 mm", "default"},
                        {"deck.safe", "3 mm", "default"},
                        {"look.style", "gray", "set"},
                        {"look.ink_budget", "12 %", "set"},
                        {"legible.min_text", "6 pt", "default"},
                        {"legible.min_contrast", "4.5 : 1", "default"},
                        {"ink.separation", "uncoated", "default"},
                        {"sheets.papers", "letter, a4", "default"}};
}

/// One page of 3 x 3 on each paper; the last card lies on its side, one face is not in the deck.
void draw_sheets(EditionResult& edition) {
    for (SheetResult& sheet : edition.sheets) {
        SheetDrawing page{.size = {{215.9}, {279.4}}, .side = "front", .sheet = 1, .places = {}};
        for (int i = 0; i < 8; ++i) {
            const auto& face = edition.faces[static_cast<std::size_t>(i) % edition.faces.size()];
            page.places.push_back(
                {face.name, {13.0 + i % 3 * 63.0}, {8.0 + i / 3 * 88.0}, {{63.0}, {88.0}}, 0});
        }
        page.places.back().face = "Not in the deck";
        page.places.push_back({edition.faces.front().name, {125.0}, {190.0}, {{88.0}, {63.0}}, 1});
        sheet.drawn = {page};
        page.side = "back";
        sheet.drawn.push_back(page);
    }
}

}  // namespace

EditionResult sample_edition() {
    EditionResult edition;
    add_deck_content(edition);
    edition.faces.push_back(ordinary("Lantern Row", 1));
    add_text_findings(edition.faces.back());
    edition.faces.push_back(ordinary("Hollow Pear", 2));
    edition.faces.back().findings.clear();
    edition.faces.push_back(ordinary("Tom's \"Last\" <b>Lamp</b> & more", 3));
    edition.faces.back().size_note = "63 x 88 mm, from <the> \"file\" & its resolution";
    edition.faces.back().findings.push_back(
        finding(Rule::ink_heavy, Severity::warning, edition.faces.back().name, 2.71, 2.6, "share",
                "</script><script>alert(1)</script> covers 271 %: lighten the sky.",
                RectPx{100, 200, 60, 60}));
    edition.faces.push_back(ordinary("Nachtfalter über der Wiese", 6));
    edition.faces.back().findings.push_back(finding(Rule::art_coarse, Severity::warning,
                                                    edition.faces.back().name, 150, 250, "ppi",
                                                    "150 ppi at printed size: export at 300 ppi."));
    edition.faces.push_back(ordinary("夜の果樹園", 5));
    edition.faces.back().findings.push_back(
        finding(Rule::size_off, Severity::note, edition.faces.back().name, 1.2, 0.5, "mm",
                "The picture is 1.2 mm too narrow for the card; white stays at both sides.",
                RectPx{0, 0, card_px.width, 300}));
    edition.faces.back().text.front().words = "夜の果樹園";
    edition.faces.push_back(ordinary("Silk and Smoke", 8));
    edition.faces.push_back(unreadable());
    edition.faces.push_back(back());
    draw_sheets(edition);
    Changes changes{.since = "gray 1a2b3c",
                    .edition = "gray 4d5e6f",
                    .cards = {},
                    .ink_all = 8.0,
                    .ink_print = 2.0,
                    .papers = {}};
    changes.cards = {{"Lantern Row", Change::changed, "a place differs by 40 of 255", 3, 3},
                     {"Hollow Pear", Change::added, "", 3, 3},
                     {"Silk and Smoke", Change::unchanged, "", 3, 0},
                     {"Fallen Leaf", Change::removed, "take out 2", 0, 0}};
    SheetResult again = edition.sheets.front();
    again.file = "changed-letter.pdf";
    again.papers = 1;
    changes.papers = {{again, 6}};
    edition.changes = std::move(changes);
    return edition;
}

EditionResult large_edition(int count) {
    EditionResult edition;
    add_deck_content(edition);
    std::vector<FaceResult> drawn;
    for (int i = 0; i < std::min(count, 54); ++i) {
        drawn.push_back(ordinary("Keeper " + std::to_string(i + 1), i + 1));
    }
    for (int i = 0; i < count; ++i) {
        FaceResult face = drawn[static_cast<std::size_t>(i) % drawn.size()];
        face.name = "Keeper " + std::to_string(i + 1);
        face.source = "faces/" + face.name + ".png";
        face.findings.front().face = face.name;
        if (i % 5 == 0) {
            add_text_findings(face);
        }
        edition.faces.push_back(std::move(face));
    }
    draw_sheets(edition);
    return edition;
}

EditionResult checked_edition() {
    EditionResult edition = sample_edition();
    edition.sheets.clear();
    edition.cost->proof.reset();
    for (FaceResult& face : edition.faces) {
        face.proof_ink.reset();
        face.proof_file.clear();
        face.proof_thumbnail = {};
        face.source_heat = face.proof_heat = {};
        for (TextLine& line : face.text) {
            line.proof_contrast.reset();
            line.kept.reset();
        }
    }
    return edition;
}

}  // namespace paleproof::report_sample
