// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "app/source.h"
#include "core/error.h"
#include "support/scratch.h"

using namespace paleproof;
using app::deck_of_list;
using test::Scratch;

namespace {

std::string fault_of(const Scratch& scratch, std::string_view content) {
    const auto file = scratch.write("deck.csv", content);
    try {
        (void)deck_of_list(file);
    } catch (const Error& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("a deck list is read by column names in any order, backs become faces once") {
    const Scratch scratch("list");
    const auto file = scratch.write("deck.csv",
                                    "copies,back,face,name\r\n"
                                    "3,backs/a.png,moth.png,Pale Moth\r\n"
                                    ",backs/a.png,owl.jpg,\r\n"
                                    "0,moth.png,sub/../jar.png,\"Jar, the \"\"old\"\" one\"\r\n");
    const Deck deck = deck_of_list(file);
    REQUIRE(deck.faces.size() == 4);
    CHECK(deck.faces[0].name == "Pale Moth");
    CHECK(deck.faces[0].copies == 3);
    CHECK(deck.faces[0].source == scratch / "moth.png");
    CHECK(deck.faces[1].name == "owl");
    CHECK(deck.faces[1].copies == 1);
    CHECK(deck.faces[2].name == "Jar, the -old- one");
    CHECK(deck.faces[2].source == scratch / "jar.png");
    CHECK(deck.faces[2].back == 0U);  // a card may be another card's back
    CHECK(deck.faces[3].source == scratch / "backs/a.png");
    CHECK(deck.faces[3].copies == 0);
    CHECK(deck.faces[0].back == 3U);
    CHECK(deck.faces[1].back == 3U);
    CHECK(deck.cards() == 4);
}

TEST_CASE("RFC 4180: quoted commas and line breaks are part of a cell, CRLF ends a row") {
    // RFC 4180, section 2, rules 1, 2, 5, 6, 7.
    const Scratch scratch("rfc");
    const auto file =
        scratch.write("deck.csv", "face,name\r\n\"a,b.png\",\"two\r\nlines\"\r\nc.png,\"d\"\"e\"");
    const Deck deck = deck_of_list(file);
    REQUIRE(deck.faces.size() == 2);
    CHECK(deck.faces[0].source == scratch / "a,b.png");
    CHECK(deck.faces[0].name == "two--lines");
    CHECK(deck.faces[1].name == "d-e");
}

TEST_CASE("a list with semicolons and a byte order mark is read as spreadsheets write it") {
    const Scratch scratch("semicolon");
    const auto file = scratch.write("deck.csv",
                                    "\xEF\xBB\xBF"
                                    "face;copies\nmoth.png;2\n\nowl.png;1\n");
    const Deck deck = deck_of_list(file);
    REQUIRE(deck.faces.size() == 2);
    CHECK(deck.faces[0].copies == 2);
}

TEST_CASE("a column that has neither a name nor cells is passed over") {
    const Scratch scratch("unnamed");
    const Deck deck =
        deck_of_list(scratch.write("deck.csv", "face,,copies,\r\na.png,,2,\r\nb.png,,\r\n"));
    REQUIRE(deck.faces.size() == 2);
    CHECK(deck.faces[0].copies == 2);
    CHECK(fault_of(scratch, "face,copies,\na.png,2,\nb.png,1,moth\n")
              .find("row 3: expected a name in the first row above 'moth', found none") !=
          std::string::npos);
}

TEST_CASE("mistakes in a deck list are named with their row and what to do") {
    const Scratch scratch("faults");
    CHECK(fault_of(scratch, "face,copys\na.png,1\n")
              .find("no such column 'copys'; did you mean copies?") != std::string::npos);
    CHECK(fault_of(scratch, "name,copies\na,1\n").find("expected a column 'face'") !=
          std::string::npos);
    CHECK(fault_of(scratch, "face,face\na,1\n").find("stands twice") != std::string::npos);
    CHECK(fault_of(scratch, "").find("the file is empty") != std::string::npos);
    CHECK(fault_of(scratch, "face,copies\n").find("found none") != std::string::npos);
    for (const char* count : {"-1", "1.5", "many", "10001", "1e3", "99999999999"}) {
        const std::string fault =
            fault_of(scratch, "face,copies\na.png,1\nb.png," + std::string(count) + "\n");
        CAPTURE(fault);
        CHECK(fault.find("row 3: copies: expected a whole number from 0 to 10000, got '") !=
              std::string::npos);
    }
    CHECK(fault_of(scratch, "face,copies\n,1\n").find("row 2: expected a path") !=
          std::string::npos);
    CHECK(fault_of(scratch, "face\na.png,b\n").find("row 2: expected 1 cells, found 2") !=
          std::string::npos);
    CHECK(fault_of(scratch, "face\n\"a.png\n").find("a quote is wrong") != std::string::npos);
    CHECK_THROWS_AS((void)deck_of_list(scratch / "nothing.csv"), Error);
}

TEST_CASE("ten thousand copies are a count, not a mistake") {
    const Scratch scratch("many");
    const Deck deck = deck_of_list(scratch.write("deck.csv", "face,copies\na.png,10000\n"));
    CHECK(deck.cards() == 10'000);
}
