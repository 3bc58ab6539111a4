// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/json.h"

#include <cmath>
#include <cstddef>
#include <nlohmann/json.hpp>
#include <optional>
#include <string_view>
#include <vector>

#include "core/error.h"
#include "core/utf8.h"
#include "report/deck_sums.h"
#include "report/finding_words.h"
#include "report/ink_cost.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

using Json = nlohmann::ordered_json;

/// Raised when a key changes its meaning or goes; new keys alone do not raise it.
constexpr int format_version = 1;

constexpr int share_digits = 5;
constexpr int length_digits = 3;
constexpr int ratio_digits = 3;
constexpr int point_digits = 2;
constexpr int ppi_digits = 2;
constexpr int measured_digits = 4;
constexpr int money_digits = 4;

/// Rounded to `digits` decimals; the shortest text that reads back as the same number is what the
/// library writes, so equal results give equal bytes.
Json number(double value, int digits, std::string_view what) {
    if (!std::isfinite(value)) {
        throw Error(ErrorKind::internal, std::string(what),
                    "expected a finite number for report.json, got one that is not");
    }
    const double scale = std::pow(10.0, digits);
    const double rounded = std::round(value * scale) / scale;
    return rounded == 0.0 ? 0.0 : rounded;  // no "-0.0"
}

Json text(std::string_view value) { return valid_utf8(value); }

Json box(const RectPx& rect) { return Json::array({rect.x, rect.y, rect.width, rect.height}); }

Json coverage(const std::optional<InkUse>& ink) {
    if (!ink) {
        return nullptr;
    }
    return {{"c", number(ink->c, share_digits, "coverage of cyan")},
            {"m", number(ink->m, share_digits, "coverage of magenta")},
            {"y", number(ink->y, share_digits, "coverage of yellow")},
            {"k", number(ink->k, share_digits, "coverage of black")},
            {"total", number(ink->total, share_digits, "total coverage")},
            {"peak", number(ink->peak, share_digits, "peak coverage")}};
}

Json saved_share(const std::optional<double>& saved) {
    return saved ? number(*saved, share_digits, "saved ink") : Json(nullptr);
}

Json finding_json(const Finding& finding) {
    return {{"rule", name(finding.rule)},
            {"severity", name(finding.severity)},
            {"face", text(finding.face)},
            {"box_px", finding.box_px ? box(*finding.box_px) : Json(nullptr)},
            {"measured", number(finding.measured, measured_digits, name(finding.rule))},
            {"limit", number(finding.limit, measured_digits, name(finding.rule))},
            {"unit", text(finding.unit)},
            {"message", text(finding.message)}};
}

/// The findings of a face; those of a line of text say what was read there.
Json findings_json(const FaceResult& face) {
    Json list = Json::array();
    for (const Finding& finding : face.findings) {
        Json& item = list.emplace_back(finding_json(finding));
        const std::string_view words = words_of(face, finding);
        if (!words.empty()) {
            item["words"] = text(words);
        }
    }
    return list;
}

Json findings_json(const std::vector<Finding>& findings) {
    Json list = Json::array();
    for (const Finding& finding : findings) {
        list.push_back(finding_json(finding));
    }
    return list;
}

Json text_json(const TextLine& line) {
    Json lost_words = Json::array();
    for (const std::string& word : line.lost_words) lost_words.push_back(text(word));
    return {
        {"kind", line.kind == TextLine::Kind::line ? "line" : "mark"},
        {"box_px", box(line.box_px)},
        {"quarter_turns", line.quarter_turns},
        {"confidence", number(line.confidence, share_digits, "confidence")},
        {"x_height_mm", number(line.x_height.value, length_digits, "x-height")},
        {"point_size", number(line.point_size, point_digits, "point size")},
        {"point_size_range",
         {number(line.point_size_low, point_digits, "point size"),
          number(line.point_size_high, point_digits, "point size")}},
        {"capitals_only", line.capitals_only},
        {"reversed", line.reversed},
        {"contrast", number(line.contrast, ratio_digits, "contrast")},
        {"paper_contrast", number(line.paper_contrast, ratio_digits, "paper contrast")},
        {"proof_contrast", line.proof_contrast
                               ? number(*line.proof_contrast, ratio_digits, "proof contrast")
                               : Json(nullptr)},
        {"kept", line.kept ? Json(*line.kept) : Json(nullptr)},
        {"words", text(line.words)},
        {"proof_words", text(line.proof_words)},
        {"lost_words", lost_words},
    };
}

Json symbol_json(const Symbol& symbol) {
    return {
        {"box_px", box(symbol.box_px)},
        {"contrast", number(symbol.contrast, ratio_digits, "contrast")},
        {"proof_contrast", symbol.proof_contrast
                               ? number(*symbol.proof_contrast, ratio_digits, "proof contrast")
                               : Json(nullptr)},
        {"kept", symbol.kept ? Json(*symbol.kept) : Json(nullptr)},
    };
}

Json bleed_json(const FaceResult& face) {
    const Edges<Mm>& present = face.bleed_present;
    const Edges<std::string>& method = face.bleed_method;
    const auto length = [](Mm mm) { return number(mm.value, length_digits, "present bleed"); };
    return {{"present_mm",
             {{"top", length(present.top)},
              {"right", length(present.right)},
              {"bottom", length(present.bottom)},
              {"left", length(present.left)}}},
            {"method",
             {{"top", text(method.top)},
              {"right", text(method.right)},
              {"bottom", text(method.bottom)},
              {"left", text(method.left)}}}};
}

Json cut_json(const std::optional<CutResult>& cut) {
    if (!cut) return nullptr;
    return {{"wander_mm", number(cut->wander.value, length_digits, "wander of the cut")},
            {"right_mm", number(cut->right.value, length_digits, "offset of the cut")},
            {"down_mm", number(cut->down.value, length_digits, "offset of the cut")},
            {"white_mm", number(cut->white.value, length_digits, "white beside the art")},
            {"proof_white_mm", cut->proof_white ? number(cut->proof_white->value, length_digits,
                                                         "white beside the proof")
                                                : Json(nullptr)},
            {"lost_lines", cut->lost_lines},
            {"lopsided", number(cut->lopsided, ratio_digits, "uneven borders")},
            {"axis", cut->lopsided_level ? "left-right" : "top-bottom"}};
}

Json face_json(const FaceResult& face, int printed) {
    Json notes = Json::array();
    for (const std::string& note : face.notes) {
        notes.push_back(text(note));
    }
    Json result = {{"name", text(face.name)},
                   {"source", text(face.source)},
                   {"readable", face.readable},
                   {"width_px", nullptr},
                   {"height_px", nullptr},
                   {"ppi", nullptr},
                   {"trim_mm", nullptr},
                   {"trim_px", nullptr},
                   {"size_note", text(face.size_note)},
                   {"notes", notes},
                   {"copies", face.copies},
                   {"printed", printed},
                   {"back", face.back.empty() ? Json(nullptr) : text(face.back)},
                   {"proof_file", face.proof_file.empty() ? Json(nullptr) : text(face.proof_file)},
                   {"ink", nullptr},
                   {"similarity", nullptr},
                   {"text", Json::array()},
                   {"symbols", Json::array()},
                   {"bleed", nullptr},
                   {"cut", nullptr},
                   {"findings", findings_json(face)}};
    if (!face.readable) {
        return result;
    }
    result["width_px"] = face.size_px.width;
    result["height_px"] = face.size_px.height;
    result["ppi"] = number(face.placement.ppi.value, ppi_digits, "ppi");
    result["trim_mm"] =
        Json::array({number(face.placement.trim.width.value, length_digits, "trim width"),
                     number(face.placement.trim.height.value, length_digits, "trim height")});
    result["trim_px"] = box(face.placement.trim_px);
    std::optional<double> saved;
    if (face.source_ink && face.proof_ink) {
        saved = ink_saved(*face.source_ink, *face.proof_ink);
    }
    result["ink"] = {{"source", coverage(face.source_ink)},
                     {"proof", coverage(face.proof_ink)},
                     {"saved", saved_share(saved)}};
    if (face.edge_similarity) {
        result["similarity"] = number(*face.edge_similarity, share_digits, "similarity");
    }
    for (const TextLine& line : face.text) {
        result["text"].push_back(text_json(line));
    }
    for (const Symbol& symbol : face.symbols) {
        result["symbols"].push_back(symbol_json(symbol));
    }
    result["bleed"] = bleed_json(face);
    result["cut"] = cut_json(face.cut);
    return result;
}

Json cost_json(const std::optional<DeckCost>& cost) {
    Json result = {
        {"currency", nullptr}, {"source", nullptr}, {"proof", nullptr}, {"saved", nullptr}};
    if (!cost) {
        return result;
    }
    result["currency"] = text(cost->currency);
    result["source"] = number(cost->source, money_digits, "cost of the source");
    if (cost->proof) {
        result["proof"] = number(*cost->proof, money_digits, "cost of the proof");
        result["saved"] = number(cost->source - *cost->proof, money_digits, "saved cost");
    }
    return result;
}

/// Pages, cartridges and the sheets of paper, beside the money.
Json yield_json(const EditionResult& edition, const InkCost& cost, int sheets) {
    const auto pages = [](double value) { return number(value, measured_digits, "pages"); };
    const auto share = [](double value) { return number(value, share_digits, "share"); };
    Json cartridges = Json::array();
    for (std::size_t i = 0; i < edition.cartridges.size(); ++i) {
        const Cartridge& cartridge = edition.cartridges[i];
        cartridges.push_back(
            {{"inks", text(cartridge.inks)},
             {"price", cartridge.price > 0.0 ? number(cartridge.price, money_digits, "price")
                                             : Json(nullptr)},
             {"pages", pages(cartridge.pages)},
             {"source", share(cost.source.cartridge_share[i])},
             {"proof", cost.proof ? share(cost.proof->cartridge_share[i]) : Json(nullptr)}});
    }
    return {{"source_pages", pages(cost.source.pages)},
            {"proof_pages", cost.proof ? pages(cost.proof->pages) : Json(nullptr)},
            {"cartridges", cartridges},
            {"unpriced", text(cost.unpriced)},
            {"sheets", sheets}};
}

/// Of one face: its share of the deck's ink, and the money for one printed side.
Json face_cost_json(const InkCost& cost, std::size_t face, const std::optional<double>& as_rgb) {
    const auto side = [&](const InkSide& s) -> Json {
        return {{"share", number(s.face_share[face], share_digits, "share")},
                {"money",
                 cost.priced ? number(s.face_money[face], share_digits, "money") : Json(nullptr)}};
    };
    return {{"source", side(cost.source)},
            {"proof", cost.proof ? side(*cost.proof) : Json(nullptr)},
            {"proof_as_rgb", as_rgb ? number(*as_rgb, share_digits, "coverage") : Json(nullptr)}};
}

Json deck_json(const EditionResult& edition, const InkCost& cost) {
    const DeckSums sums = deck_sums(edition);
    return {
        {"title", text(edition.title)},
        {"faces", edition.faces.size()},
        {"cards", sums.cards},
        {"ink",
         {{"source", coverage(sums.source_ink)},
          {"proof", coverage(sums.proof_ink)},
          {"saved", saved_share(sums.saved)}}},
        {"cost", cost_json(edition.cost)},
        {"yield", yield_json(edition, cost, sums.sheets)},
        {"findings", {{"error", sums.errors}, {"warning", sums.warnings}, {"note", sums.notes}}}};
}

Json look_json(const EditionResult& edition) {
    Json settings = Json::array();
    for (const Setting& setting : edition.settings) {
        settings.push_back({{"name", text(setting.name)},
                            {"value", text(setting.value)},
                            {"origin", text(setting.origin)}});
    }
    return {
        {"style", text(edition.style)},
        {"separation", text(edition.separation)},
        {"ink_budget", edition.ink_budget ? number(*edition.ink_budget, share_digits, "ink budget")
                                          : Json(nullptr)},
        {"list", settings}};
}

Json twin_places(const std::vector<TwinPlace>& places) {
    Json list = Json::array();
    for (const TwinPlace& place : places) {
        list.push_back({{"face", text(place.face)}, {"box_px", box(place.box_px)}});
    }
    return list;
}

Json twins_json(const std::vector<Twin>& twins) {
    const auto difference = [](double value) { return number(value, ratio_digits, "difference"); };
    const auto if_known = [&](const std::optional<double>& value) {
        return value ? difference(*value) : Json(nullptr);
    };
    Json list = Json::array();
    for (const Twin& twin : twins) {
        list.push_back({{"rule", name(twin.rule)},
                        {"a", text(twin.a)},
                        {"b", text(twin.b)},
                        {"where", text(twin.where)},
                        {"difference", difference(twin.difference)},
                        {"limit", difference(twin.limit)},
                        {"color_difference", difference(twin.color_difference)},
                        {"vision", twin.vision.empty() ? Json(nullptr) : Json(text(twin.vision))},
                        {"cross_check", if_known(twin.cross_check)},
                        {"map_difference", if_known(twin.map_difference)},
                        {"proof_difference", if_known(twin.proof_difference)},
                        {"places_a", twin_places(twin.places_a)},
                        {"places_b", twin_places(twin.places_b)},
                        {"patterns", twin.patterns},
                        {"also", twin.also}});
    }
    return list;
}

Json sheets_json(const std::vector<SheetResult>& sheets) {
    Json list = Json::array();
    for (const SheetResult& sheet : sheets) {
        list.push_back({{"paper", text(sheet.paper)},
                        {"file", text(sheet.file)},
                        {"pages", sheet.pages},
                        {"cards", sheet.cards},
                        {"unused", sheet.unused},
                        {"columns", sheet.columns},
                        {"rows", sheet.rows},
                        {"papers", sheet.papers},
                        {"papers_shared", sheet.papers_shared},
                        {"papers_bleed", sheet.papers_bleed}});
    }
    return list;
}

}  // namespace

std::string report_json(const EditionResult& edition) {
    const std::vector<int> printed = printed_sides(edition.faces);
    const InkCost cost = ink_cost(edition);
    Json faces = Json::array();
    for (std::size_t i = 0; i < edition.faces.size(); ++i) {
        faces.push_back(face_json(edition.faces[i], printed[i]));
        faces.back()["cost"] = face_cost_json(cost, i, edition.faces[i].proof_as_rgb);
    }
    const Json report = {{"version", format_version},
                         {"tool", {{"name", "paleproof"}, {"version", PALEPROOF_VERSION}}},
                         {"deck", deck_json(edition, cost)},
                         {"settings", look_json(edition)},
                         {"faces", faces},
                         {"twins", twins_json(edition.twins)},
                         {"sheets", sheets_json(edition.sheets)},
                         {"findings", findings_json(edition.findings)}};
    return report.dump(2) + "\n";
}

}  // namespace paleproof::report
