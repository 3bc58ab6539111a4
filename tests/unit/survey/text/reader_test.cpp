// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/reader.h"
#include "survey/text/ocr_engine.h"

#include <doctest/doctest.h>

#include <thread>
#include <vector>

#include "core/error.h"
#include "survey/text/text_finder.h"
#include "typeset.h"

using namespace paleproof;
using survey::OcrEngine;
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
          doctest::skip(!OcrEngine::built_in())) {
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

TEST_CASE("readers serve several threads" * doctest::skip(!OcrEngine::built_in())) {
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

TEST_CASE("words that are lost are told in their order, without case and punctuation") {
    using Words = std::vector<std::string>;
    CHECK(survey::lost_words("", "anything").empty());
    CHECK(survey::lost_words("Take one lamp.", "take one LAMP").empty());
    CHECK(survey::lost_words("Take one lamp", "Take lamp") == Words{"one"});
    CHECK(survey::lost_words("one two", "two one").size() == 1);
    CHECK(survey::lost_words("one", "") == Words{"one"});
    CHECK(survey::lost_words("one and one", "one one") == Words{"and"});
    SUBCASE("one letter in four may be read otherwise, in words without figures") {
        CHECK(survey::lost_words("Sorneone lights a lamp", "Somcone lights a larnp") ==
              Words{"sorneone", "lamp"});
        CHECK(survey::lost_words("lantern", "lanternn").empty());
        CHECK(survey::lost_words("cot", "cat") == Words{"cot"});
        CHECK(survey::lost_words("+10 lamps", "+16 lamps") == Words{"10"});
    }
}

TEST_CASE("a proof is read again, whichever side is dark; what is missing is told" *
          doctest::skip(!OcrEngine::built_in())) {
    Image face = plain(700, 200, {30, 20, 60});
    test::draw(face,
               {.text = "Take one lamp", .px = 40, .x = 50, .y = 110, .ink = {230, 220, 160}});
    const survey::TextFinder finder;
    auto lines = finder.find(face, face.ppi()).lines;
    REQUIRE(lines.size() == 1);
    survey::TextReaders readers("eng");
    readers.read(face, lines);
    REQUIRE(lines[0].words == "Take one lamp");
    Image proof(face.width(), face.height(), Encoding::gray, face.ppi());
    for (int y = 0; y < face.height(); ++y) {
        for (int x = 0; x < face.width(); ++x)
            proof.row(y)[x] = static_cast<std::uint8_t>(255 - face.row(y)[3 * x]);
    }
    readers.read_again(proof, lines);
    CHECK(lines[0].proof_words == "Take one lamp");
    CHECK(lines[0].lost_words.empty());
    // The last word becomes paper.
    const RectPx box = lines[0].box_px;
    for (int y = 0; y < proof.height(); ++y) {
        std::fill_n(proof.row(y) + box.x + box.width * 2 / 3,
                    proof.width() - box.x - box.width * 2 / 3, std::uint8_t{225});
    }
    readers.read_again(proof, lines);
    CHECK(lines[0].lost_words == std::vector<std::string>{"lamp"});
}

TEST_CASE("a language that is not there is named" * doctest::skip(!OcrEngine::built_in())) {
    try {
        const TextReader reader("xyz");
        FAIL("no error");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::file);
        CHECK(error.subject() == "xyz");
    }
}

TEST_CASE("without an engine reading says what is missing" * doctest::skip(OcrEngine::built_in())) {
    CHECK_THROWS_AS(TextReader(), Error);
}
