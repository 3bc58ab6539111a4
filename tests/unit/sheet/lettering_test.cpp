// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <string>

#include "sheet/page_content.h"
#include "sheet/stroke_font.h"

using namespace paleproof;
using namespace paleproof::sheet;

TEST_CASE("every printable character of Latin-1 used in names is drawn") {
    for (char32_t c = U' '; c <= U'~'; ++c) {
        CAPTURE(static_cast<unsigned>(c));
        CHECK(has_glyph(c));
    }
    for (char32_t c = U'\u00c0'; c <= U'\u00ff'; ++c) {
        CAPTURE(static_cast<unsigned>(c));
        CHECK(has_glyph(c));
    }
    for (const char32_t c : std::u32string(U"ąćęłńśźżĄŁčďěňřšťůžőűğışțșāģķļņ·–—…„“”‘’€")) {
        CAPTURE(static_cast<unsigned>(c));
        CHECK(has_glyph(c));
    }
    CHECK_FALSE(has_glyph(U'\u6708'));
    CHECK_FALSE(has_glyph(U'\ufffd'));
    CHECK_FALSE(glyph(U'\u6708').strokes.empty());
}

TEST_CASE("letters stay in the box that the font states for them") {
    for (char32_t c = U'!'; c <= U'\u017f'; ++c) {
        if (!has_glyph(c)) continue;
        CAPTURE(static_cast<unsigned>(c));
        const Glyph letter = glyph(c);
        CHECK(letter.advance > 0.0);
        CHECK(letter.advance <= 22.0);
        for (const Stroke& stroke : letter.strokes) {
            for (std::size_t i = 0; i + 1 < stroke.points.size(); i += 2) {
                CHECK(stroke.points[i] >= -2.0);
                CHECK(stroke.points[i] <= letter.advance);
                CHECK(stroke.points[i + 1] >= -5.3);
                CHECK(stroke.points[i + 1] <= 20.3);
            }
        }
    }
}

TEST_CASE("UTF-8 is read as RFC 3629 says, and what is not UTF-8 is replaced") {
    CHECK(characters("A\xc3\xa4\xe2\x82\xac\xf0\x9f\x8c\x99") == U"Aä€\U0001f319");
    CHECK(characters("\xff") == U"\ufffd");
    CHECK(characters("\xc0\xaf") == U"\ufffd\ufffd");            // overlong
    CHECK(characters("\xed\xa0\x80").front() == U'\ufffd');      // a surrogate
    CHECK(characters("\xf4\x90\x80\x80").front() == U'\ufffd');  // past U+10FFFF
    CHECK(characters("\xe2\x82") == U"\ufffd\ufffd");            // cut short
    CHECK(characters("a\nb\x01") == U"a b ");
    for (const char32_t c : {U'a', U'\u07ff', U'\u0800', U'\ufffd', U'\U0010ffff'}) {
        CHECK(characters(utf8(std::u32string(1, c))) == std::u32string(1, c));
    }
}

TEST_CASE("a text that is too wide ends in an ellipsis and fits") {
    const std::string text = "The Night Orchard, a game for many moths";
    const Mm letters{1.7};
    const Mm whole = text_width(text, letters);
    CHECK(shortened(text, letters, whole) == text);
    for (double width = whole.value - 0.1; width > 4.0; width -= 0.7) {
        const std::string cut = shortened(text, letters, Mm{width});
        CHECK(text_width(cut, letters).value <= width);
        CHECK(cut.ends_with("…"));
        CHECK(text.starts_with(cut.substr(0, cut.size() - std::string("…").size())));
    }
    CHECK(shortened(text, letters, Mm{0.1}).empty());
}

TEST_CASE("no text can leave its string in the page's content") {
    Lettering lettering;
    for (const char* text : {"a) Tj ET Q (", ">> endobj", "\\) q", "<ff>", "%\n/Face0 Do"}) {
        const std::string string = lettering.encoded(text);
        CHECK(string.front() == '<');
        CHECK(string.back() == '>');
        CHECK(string.find_first_not_of("0123456789abcdef", 1) == string.size() - 1);
    }
}

TEST_CASE("characters past the 255th share one box") {
    Lettering lettering;
    std::u32string many;
    for (char32_t c = 0x4e00; c < 0x4e00 + 300; ++c) many += c;
    const std::string string = lettering.encoded(utf8(many));
    CHECK(string.size() == 2 + 2 * many.size());
    CHECK(lettering.characters().size() == 256);
    CHECK(string.substr(string.size() - 3) == "00>");
}

TEST_CASE("numbers in a PDF have a point, no exponent and no useless digits") {
    CHECK(pdf_number(612.0) == "612");
    CHECK(pdf_points(Mm{210.0}) == "595.2756");
    CHECK(pdf_number(-0.00001) == "0");
    CHECK(pdf_number(1e-7) == "0");
    CHECK(pdf_number(0.25) == "0.25");
    CHECK(pdf_number(1234567.0) == "1234567");
}
