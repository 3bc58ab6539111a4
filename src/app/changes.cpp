// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/changes.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>

#include "app/look.h"
#include "core/format.h"

namespace paleproof::app {
namespace {

using Json = nlohmann::ordered_json;

constexpr int format_version = 1;
/// Trimmed sizes nearer than this are one size: pixels rarely give a length exactly.
constexpr Mm same_size{0.05};

bool is_card(const RecordedFace& face) { return face.copies > 0 && !face.proof.empty(); }

bool same(SizeMm a, SizeMm b) {
    return std::abs((a.width - b.width).value) < same_size.value &&
           std::abs((a.height - b.height).value) < same_size.value;
}

/// The settings that shape the look.
std::string look_options(const EditionRecord& record) {
    std::string text;
    for (const Setting& setting : record.settings) {
        if (setting.name.starts_with("look.")) text += setting.name + setting.value + "\n";
    }
    return text;
}

/// Why two faces do not look alike; nothing when they do.
std::optional<std::string> look_differs(const RecordedFace& before, const RecordedFace& now,
                                        bool same_options) {
    if (!same(before.trim, now.trim)) return "another size";
    if (before.proof_hash == now.proof_hash) return std::nullopt;
    if (before.channels != now.channels || before.bits != now.bits) {
        return "another kind of picture";
    }
    if (before.look.empty() || now.look.empty()) return "other pixels";
    const double difference = look_difference(before.look, now.look);
    const double tolerance = look_tolerance(now.bits);
    if (difference <= tolerance) return std::nullopt;
    // The deck's map of grays moves with every card that comes or goes; that alone asks for no
    // print as long as the art is the same.
    if (look_difference(before.source_look, now.source_look) <= look_tolerance(8) && same_options) {
        return std::nullopt;
    }
    return "a place differs by " + fixed(difference, 0) + " of 255, up to " + fixed(tolerance, 0) +
           " count as the same";
}

const RecordedFace* back_of(const EditionRecord& record, const RecordedFace& face) {
    if (!face.back || record.faces[*face.back].proof.empty()) return nullptr;
    return &record.faces[*face.back];
}

std::optional<std::string> back_differs(const RecordedFace* before, const RecordedFace* now,
                                        bool same_options) {
    if (before == nullptr && now == nullptr) return std::nullopt;
    if (before == nullptr) return "now with a back";
    if (now == nullptr) return "now without a back";
    if (const auto reason = look_differs(*before, *now, same_options)) return "back: " + *reason;
    return std::nullopt;
}

/// The earlier card of each new one: by name, then by picture.
std::vector<const RecordedFace*> partners(const EditionRecord& before, const EditionRecord& now,
                                          std::vector<bool>& taken) {
    std::map<std::string, std::size_t> by_name;
    for (std::size_t i = 0; i < before.faces.size(); ++i) {
        if (is_card(before.faces[i])) by_name.emplace(before.faces[i].name, i);
    }
    std::vector<const RecordedFace*> found(now.faces.size(), nullptr);
    for (std::size_t i = 0; i < now.faces.size(); ++i) {
        if (!is_card(now.faces[i])) continue;
        const auto at = by_name.find(now.faces[i].name);
        if (at == by_name.end()) continue;
        found[i] = &before.faces[at->second];
        taken[at->second] = true;
    }
    for (std::size_t i = 0; i < now.faces.size(); ++i) {
        if (!is_card(now.faces[i]) || found[i] != nullptr) continue;
        for (std::size_t j = 0; j < before.faces.size(); ++j) {
            if (taken[j] || !is_card(before.faces[j])) continue;
            if (look_differs(before.faces[j], now.faces[i], false)) continue;
            found[i] = &before.faces[j];
            taken[j] = true;
            break;
        }
    }
    return found;
}

CardChange compared(const EditionRecord& before, const RecordedFace* old, const EditionRecord& now,
                    const RecordedFace& face, bool backs) {
    CardChange card{face.name, Change::unchanged, "", face.copies, 0};
    if (old == nullptr) {
        card.change = Change::added;
        card.print = face.copies;
        return card;
    }
    const bool same_options = look_options(before) == look_options(now);
    std::optional<std::string> reason = look_differs(*old, face, same_options);
    if (!reason && backs)
        reason = back_differs(back_of(before, *old), back_of(now, face), same_options);
    if (reason) {
        card.change = Change::changed;
        card.reason = *reason;
        card.print = face.copies;
    } else if (old->copies != face.copies) {
        card.change = Change::changed;
        card.print = std::max(0, face.copies - old->copies);
        card.reason =
            "copies " + std::to_string(old->copies) + ", now " + std::to_string(face.copies) +
            (card.print == 0 ? ": take out " + std::to_string(old->copies - face.copies) : "");
    } else if (old->name != face.name) {
        card.reason = "was called " + old->name;
    }
    return card;
}

}  // namespace

Changes changes_between(const EditionRecord& before, const EditionRecord& now, bool backs) {
    Changes changes;
    changes.since = before.edition;
    changes.edition = now.edition;
    changes.same_grays = before.gray_map && before.gray_map == now.gray_map;
    std::vector<bool> taken(before.faces.size(), false);
    const auto old = partners(before, now, taken);
    for (std::size_t i = 0; i < now.faces.size(); ++i) {
        const RecordedFace& face = now.faces[i];
        if (!is_card(face)) continue;
        changes.cards.push_back(compared(before, old[i], now, face, backs));
        const RecordedFace* back = backs ? back_of(now, face) : nullptr;
        const double ink = face.ink + (back != nullptr ? back->ink : 0.0);
        changes.ink_all += ink * face.copies;
        changes.ink_print += ink * changes.cards.back().print;
    }
    for (std::size_t j = 0; j < before.faces.size(); ++j) {
        if (taken[j] || !is_card(before.faces[j])) continue;
        // A face that could not be read this time is not gone from the deck.
        const bool unread = std::ranges::any_of(now.faces, [&](const RecordedFace& face) {
            return face.proof.empty() && face.name == before.faces[j].name;
        });
        if (unread) continue;
        changes.cards.push_back({before.faces[j].name, Change::removed,
                                 "take out " + std::to_string(before.faces[j].copies), 0, 0});
    }
    return changes;
}

EditionRecord to_print(const EditionRecord& now, const Changes& changes) {
    EditionRecord record = now;
    record.edition += ", changes since " + (changes.since.empty() ? "before" : changes.since);
    std::size_t next = 0;
    for (RecordedFace& face : record.faces) {
        if (!is_card(face)) continue;
        face.copies = changes.cards[next++].print;
    }
    return record;
}

std::string changes_json(const Changes& changes) {
    const auto ink = [](double sum) { return std::round(sum * 1e4) / 1e4; };
    Json json{
        {"format", format_version},
        {"since", changes.since},
        {"edition", changes.edition},
        {"same_grays", changes.same_grays},
        {"tolerance", {{"gray_and_color", look_tolerance(8)}, {"drawing", look_tolerance(1)}}}};
    json["cards"] = Json::array();
    for (const CardChange& card : changes.cards) {
        json["cards"].push_back({{"face", card.face},
                                 {"change", name(card.change)},
                                 {"reason", card.reason},
                                 {"copies", card.copies},
                                 {"print", card.print}});
    }
    json["papers"] = Json::array();
    for (const PaperSaved& paper : changes.papers) {
        const std::string& file = paper.sheets.file;
        json["papers"].push_back({{"paper", paper.sheets.paper},
                                  {"file", file.empty() ? Json() : Json(file)},
                                  {"sheets", paper.sheets.papers},
                                  {"sheets_of_all", paper.papers_all},
                                  {"sheets_saved", paper.papers_all - paper.sheets.papers}});
    }
    json["ink"] = {{"all", ink(changes.ink_all)},
                   {"print", ink(changes.ink_print)},
                   {"saved", ink(changes.ink_all - changes.ink_print)}};
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string changes_summary(const Changes& changes) {
    std::string text = "Since      " +
                       (changes.since.empty() ? "an earlier edition" : changes.since) + ": " +
                       std::to_string(changes.count(Change::changed)) + " changed, " +
                       std::to_string(changes.count(Change::added)) + " added, " +
                       std::to_string(changes.count(Change::removed)) + " removed, " +
                       std::to_string(changes.count(Change::unchanged)) + " unchanged\n";
    for (const CardChange& card : changes.cards) {
        if (card.change == Change::unchanged && card.reason.empty()) continue;
        text += "           " + std::string(name(card.change)) + "  " + card.face +
                (card.reason.empty() ? "" : ": " + card.reason) + "\n";
    }
    if (changes.same_grays) text += "           colors keep the grays of that edition\n";
    bool first = true;
    for (const PaperSaved& paper : changes.papers) {
        text += std::string(first ? "To print   " : "           ") +
                (paper.sheets.file.empty()
                     ? paper.sheets.paper + ": nothing"
                     : paper.sheets.file + ": " + counted(paper.sheets.papers, "sheet", "sheets") +
                           ", " + counted(paper.sheets.cards, "card", "cards")) +
                "; saves " + std::to_string(paper.papers_all - paper.sheets.papers) + " of " +
                counted(paper.papers_all, "sheet", "sheets") + "\n";
        first = false;
    }
    if (changes.ink_all > 0.0) {
        text += "           saves " + percent(1.0 - changes.ink_print / changes.ink_all, 0) +
                " of the edition's ink, estimated\n";
    }
    return text;
}

}  // namespace paleproof::app
