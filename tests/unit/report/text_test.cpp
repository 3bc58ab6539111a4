// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/text.h"

#include <doctest/doctest.h>

#include <string>

using namespace paleproof::report;

TEST_CASE("escaped text holds no character that HTML reads as markup") {
    CHECK(escaped("<b class=\"x\">'&'</b>") ==
          "&lt;b class=&quot;x&quot;&gt;&#39;&amp;&#39;&lt;/b&gt;");
    CHECK(escaped("two\nlines\tand a tab") == "two\nlines\tand a tab");
    CHECK(escaped(std::string("nul\0\x1B", 5)) == "nul\uFFFD\uFFFD");
}
