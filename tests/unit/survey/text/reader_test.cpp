// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/reader.h"

#include <doctest/doctest.h>

#include "core/error.h"
#include "survey/text/text_finder.h"
#include "typeset.h"

using namespace paleproof;
using survey::TextReader;
using test::plain;

namespace {

/// The words of the one line that is found.
std::string read(const Image& face) {
    static const survey::TextFinder finder;
    static TextReader reader;
    const auto lines = finder.find(face, face.ppi()).lines;
    REQUIRE(lines.size() == 1);
    return reader.words(face, lines[0]);
}

}  // namespace

TEST_CASE("what was drawn is read, also small, reversed, faint and turned" *
          doctest::skip(!TextReader::available())) {
    const std::string text = "Take one lamp from the shelf";
    Image face = plain(700, 200, {255, 255, 255});
    test::draw(face, {.text = text, .px = 40, .x = 50, .y = 110});
    CHECK(read(face) == text);
    CHECK(read(test::turned(face, 1)) == text);
    face = plain(400, 120, {255, 255, 255});
    test::draw(face, {.text = text, .px = 22, .x = 40, .y = 70});
    CHECK(read(face) == text);
    face = plain(700, 200, {30, 20, 60});
    test::draw(face, {.text = text, .px = 40, .x = 50, .y = 110, .ink = {230, 220, 160}});
    CHECK(read(face) == text);
    face = plain(700, 200, {255, 255, 255});
    test::draw(face, {.text = text, .px = 40, .x = 50, .y = 110, .ink = {0xcb, 0xcb, 0xcb}});
    CHECK(read(face) == text);
}

TEST_CASE("a language that is not there is named" * doctest::skip(!TextReader::available())) {
    try {
        const TextReader reader("xyz");
        FAIL("no error");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::file);
        CHECK(error.subject() == "xyz");
    }
}

TEST_CASE("without an engine reading says what is missing" *
          doctest::skip(TextReader::available())) {
    CHECK_THROWS_AS(TextReader(), Error);
}
