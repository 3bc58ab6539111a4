// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The examples are those of RFC 3629 and of Unicode 15, section 3.9.
#include "core/utf8.h"

#include <doctest/doctest.h>

#include <string>

using namespace paleproof;

TEST_CASE("valid UTF-8 stays as it is") {
    for (const std::string text : {"", "plain", "Ähre", "夜の果樹園", "\U0001F98B", "\uFFFF"}) {
        CAPTURE(text);
        CHECK(is_utf8(text));
        CHECK(valid_utf8(text) == text);
    }
}

TEST_CASE("bytes that are no UTF-8 become replacement characters") {
    const std::string mark = "\uFFFD";
    CHECK(valid_utf8("a\xFFz") == "a" + mark + "z");
    CHECK(valid_utf8("\xC3") == mark);                                   // cut short
    CHECK(valid_utf8("\xC0\xAF") == mark + mark);                        // overlong
    CHECK(valid_utf8("\xED\xA0\x80") == mark + mark + mark);             // a surrogate
    CHECK(valid_utf8("\xF4\x90\x80\x80") == mark + mark + mark + mark);  // past U+10FFFF
    CHECK(valid_utf8("\xE5\xA4z") == mark + mark + "z");
    for (const std::string text :
         {"a\xFFz", "\xC3", "\xC0\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80"}) {
        CHECK_FALSE(is_utf8(text));
    }
}

TEST_CASE("the first character has its value and its length") {
    // RFC 3629, section 7: U+2262, U+D55C, U+233B4.
    CHECK(first_character("\xE2\x89\xA2z").value == U'\u2262');
    CHECK(first_character("\xE2\x89\xA2z").length == 3);
    CHECK(first_character("\xED\x95\x9C").value == U'\uD55C');
    CHECK(first_character("\xF0\xA3\x8E\xB4").value == U'\U000233B4');
    CHECK(first_character("A").value == U'A');
    CHECK(first_character("").length == 0);
}

TEST_CASE("a text stays within its line: control characters are blanks, the rest is as it was") {
    // Unicode 15, table 23-1: the control codes are U+0000..U+001F and U+007F..U+009F.
    CHECK(one_line("Night\nOrchard\r\tx\x1B[2J\x7F") == "Night Orchard  x [2J ");
    CHECK(one_line("a\u0085b\u009Fc") == "a b c");
    for (const std::string text :
         {"", "plain", "Ähre", "夜の果樹園", "\u00A0\U0001F98B", "Gro\xDF"}) {
        CHECK(one_line(text) == text);
    }
}
