// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/reader.h"

#include <doctest/doctest.h>

#include <thread>
#include <vector>

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

TEST_CASE("readers serve several threads" * doctest::skip(!TextReader::available())) {
    Image face = plain(700, 200, {255, 255, 255});
    test::draw(face, {.text = "Take one lamp", .px = 40, .x = 50, .y = 110});
    const survey::TextFinder finder;
    const auto lines = finder.find(face, face.ppi()).lines;
    REQUIRE(lines.size() == 1);
    survey::TextReaders readers("eng");
    std::vector<std::vector<TextLine>> answers(3, lines);
    std::vector<std::thread> threads;
    for (std::vector<TextLine>& answer : answers) {
        threads.emplace_back([&] { readers.read(face, answer); });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    for (const std::vector<TextLine>& answer : answers) {
        CHECK(answer[0].words == "Take one lamp");
    }
}

TEST_CASE("words that stand again are counted in their order, without case and punctuation") {
    CHECK(survey::words_again("", "anything") == 1.0);
    CHECK(survey::words_again("Take one lamp.", "take one LAMP") == 1.0);
    CHECK(survey::words_again("Take one lamp", "Take lamp") == doctest::Approx(2.0 / 3));
    CHECK(survey::words_again("one two", "two one") == 0.5);
    CHECK(survey::words_again("one", "") == 0.0);
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
