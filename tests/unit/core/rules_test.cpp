// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "core/deck.h"
#include "core/error.h"
#include "core/finding.h"

using namespace paleproof;

TEST_CASE("every rule has a name of its own, is found by it, and is explained") {
    for (const RuleInfo& info : rules()) {
        CAPTURE(info.name);
        CHECK(name(info.rule) == info.name);
        REQUIRE(rule_named(info.name));
        CHECK(*rule_named(info.name) == info.rule);
        CHECK(info.measures.size() > 20);
        CHECK(info.why.size() > 20);
        CHECK(info.remedy.size() > 20);
    }
    CHECK_FALSE(rule_named("text-tiny"));
}

TEST_CASE("an error says subject and detail in one line") {
    const Error error(ErrorKind::range, "bleed", "expected 0mm to 10mm, got '12mm'");
    CHECK(std::string(error.what()) == "bleed: expected 0mm to 10mm, got '12mm'");
    CHECK(error.kind() == ErrorKind::range);
}

TEST_CASE("cards are counted with their copies") {
    Deck deck;
    deck.faces = {
        {"a", "a.png", 3, 2}, {"b", "b.png", 1, std::nullopt}, {"back", "k.png", 0, std::nullopt}};
    CHECK(deck.cards() == 4);
}
