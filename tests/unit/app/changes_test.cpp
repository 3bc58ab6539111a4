// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/changes.h"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "app/look.h"

using namespace paleproof;
using app::Change;

namespace {

app::RecordedFace face(const std::string& name, const std::string& pixels, int copies,
                       std::optional<std::size_t> back = std::nullopt) {
    app::RecordedFace result;
    result.name = name;
    result.proof = "faces/" + name + ".png";
    result.proof_hash = pixels;
    result.copies = copies;
    result.back = back;
    result.trim = {{63.5}, {88.9}};
    result.ink = 0.1;
    // Two places; the pixels' last letter is the code of the first: A = 0, B = 64 ...
    result.look = std::string("2x1x1:") + pixels.back() + "AA=";
    return result;
}

app::EditionRecord edition(std::vector<app::RecordedFace> faces) {
    app::EditionRecord record;
    record.title = "Night Orchard";
    record.settings = {{"look.style", "\"gray\"", ""}};
    record.faces = std::move(faces);
    app::set_card_hashes(record);
    return record;
}

const app::CardChange& card(const app::Changes& changes, const std::string& name) {
    for (const app::CardChange& change : changes.cards) {
        if (change.face == name) return change;
    }
    throw std::runtime_error("no card " + name);
}

}  // namespace

TEST_CASE("cards are sorted into changed, added, removed and unchanged") {
    const auto before = edition({face("moth", "hash-A", 2, 3), face("jar", "hash2-A", 1, 3),
                                 face("gate", "hash3-A", 1), face("back", "hash4-A", 0)});
    const auto now = edition({face("moth", "other-Z", 2, 3), face("jar", "hash2-A", 1, 3),
                              face("lamp", "hash5-q", 3), face("back", "hash4-A", 0)});
    const app::Changes changes = app::changes_between(before, now, true);
    CHECK(card(changes, "moth").change == Change::changed);
    CHECK(card(changes, "moth").print == 2);
    CHECK(card(changes, "jar").change == Change::unchanged);
    CHECK(card(changes, "jar").print == 0);
    CHECK(card(changes, "lamp").change == Change::added);
    CHECK(card(changes, "lamp").print == 3);
    CHECK(card(changes, "gate").change == Change::removed);
    CHECK(changes.cards.size() == 4);  // the back is no card
    // Ink: all sides 2 x 0.2 + 1 x 0.2 + 3 x 0.1, to print without the jar.
    CHECK(changes.ink_all == doctest::Approx(0.9));
    CHECK(changes.ink_print == doctest::Approx(0.7));
    const app::EditionRecord print = app::to_print(now, changes);
    CHECK(print.faces[0].copies == 2);
    CHECK(print.faces[1].copies == 0);
    CHECK(print.faces[2].copies == 3);
}

TEST_CASE("a changed back changes its cards, unless backs are not printed") {
    const auto before = edition({face("moth", "hash-A", 2, 1), face("back", "hash4-A", 0)});
    const auto now = edition({face("moth", "hash-A", 2, 1), face("back", "hash5-z", 0)});
    CHECK(card(app::changes_between(before, now, true), "moth").change == Change::changed);
    CHECK(card(app::changes_between(before, now, false), "moth").change == Change::unchanged);
    const auto without = edition({face("moth", "hash-A", 2), face("back", "hash4-A", 0)});
    CHECK(card(app::changes_between(before, without, true), "moth").reason == "now without a back");
}

TEST_CASE("copies that came on are printed alone, fewer copies need no print") {
    const auto before = edition({face("moth", "hash-A", 2), face("jar", "hash2-A", 5)});
    const auto now = edition({face("moth", "hash-A", 6), face("jar", "hash2-A", 3)});
    const auto changes = app::changes_between(before, now, true);
    CHECK(card(changes, "moth").change == Change::changed);
    CHECK(card(changes, "moth").print == 4);
    CHECK(card(changes, "jar").change == Change::changed);
    CHECK(card(changes, "jar").print == 0);
    CHECK(card(changes, "jar").reason == "copies 5, now 3: take out 2");
}

TEST_CASE("other bytes with the same look, and a renamed card, count as unchanged") {
    // Codes 0 and 1 of 255: "AA" and "AB"... the first place differs by one code at most.
    auto before = edition({face("moth", "hash-A", 2), face("jar", "hash2-A", 1)});
    auto now = edition({face("moth", "other-A", 2), face("pot", "hash2-A", 1)});
    now.faces[0].look = "2x1x1:AQA=";  // 1, 0
    const auto changes = app::changes_between(before, now, true);
    CHECK(card(changes, "moth").change == Change::unchanged);
    CHECK(card(changes, "pot").change == Change::unchanged);
    CHECK(card(changes, "pot").reason == "was called jar");
    CHECK(changes.count(Change::removed) == 0);
    // Just past the tolerance it has changed.
    now.faces[0].look = "2x1x1:BQA=";  // 5, 0
    REQUIRE(app::look_difference(before.faces[0].look, now.faces[0].look) ==
            app::look_tolerance(8) + 1);
    CHECK(card(app::changes_between(before, now, true), "moth").change == Change::changed);
}

TEST_CASE("another size is a change, a face that could not be read is not removed") {
    const auto before = edition({face("moth", "hash-A", 2), face("jar", "hash2-A", 1)});
    auto now = before;
    now.faces[0].trim.width = Mm{70.0};
    now.faces[1].proof.clear();
    const auto changes = app::changes_between(before, now, true);
    CHECK(card(changes, "moth").reason == "another size");
    CHECK(changes.count(Change::removed) == 0);
}

TEST_CASE("a card's hash follows from pixels, options, back and copies") {
    const auto base = edition({face("moth", "hash-A", 2, 1), face("back", "hash4-A", 0)});
    const auto hash = [](std::vector<app::RecordedFace> faces, const char* style) {
        app::EditionRecord record;
        record.settings = {{"look.style", style, ""}};
        record.faces = std::move(faces);
        app::set_card_hashes(record);
        return record.faces[0].card_hash;
    };
    const std::string same = base.faces[0].card_hash;
    CHECK(hash({face("renamed", "hash-A", 2, 1), face("back", "hash4-A", 0)}, "\"gray\"") == same);
    CHECK(hash({face("moth", "hash-B", 2, 1), face("back", "hash4-A", 0)}, "\"gray\"") != same);
    CHECK(hash({face("moth", "hash-A", 3, 1), face("back", "hash4-A", 0)}, "\"gray\"") != same);
    CHECK(hash({face("moth", "hash-A", 2, 1), face("back", "hash5-A", 0)}, "\"gray\"") != same);
    CHECK(hash({face("moth", "hash-A", 2, 1), face("back", "hash4-A", 0)}, "\"line\"") != same);
}

TEST_CASE("changes.json says what was compared, and what it saves") {
    const auto before = edition({face("moth", "hash-A", 2)});
    const auto now = edition({face("moth", "hash-z", 2)});
    app::Changes changes = app::changes_between(before, now, true);
    changes.papers.push_back({{.paper = "A4", .file = "changed-a4.pdf", .papers = 1}, 4});
    const auto json = nlohmann::json::parse(app::changes_json(changes));
    CHECK(json["since"] == before.edition);
    CHECK(json["edition"] == now.edition);
    CHECK(json["cards"][0]["change"] == "changed");
    CHECK(json["papers"][0]["sheets_saved"] == 3);
    CHECK(json["tolerance"]["gray_and_color"] == app::look_tolerance(8));
    CHECK(app::changes_summary(changes).find("saves 3 of 4 sheets") != std::string::npos);
}
