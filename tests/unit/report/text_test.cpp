// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/text.h"

#include <doctest/doctest.h>

#include <string>
#include <utility>

using namespace paleproof::report;

TEST_CASE("base64 gives the test vectors of RFC 4648, section 10") {
    const std::pair<const char*, const char*> vectors[] = {{"", ""},
                                                           {"f", "Zg=="},
                                                           {"fo", "Zm8="},
                                                           {"foo", "Zm9v"},
                                                           {"foob", "Zm9vYg=="},
                                                           {"fooba", "Zm9vYmE="},
                                                           {"foobar", "Zm9vYmFy"}};
    for (const auto& [plain, coded] : vectors) {
        CHECK(base64(plain) == coded);
    }
    CHECK(base64(std::string("\xFF\xFE\x00\xFB", 4)) == "//4A+w==");  // by Python's base64
}

TEST_CASE("escaped text holds no character that HTML reads as markup") {
    CHECK(escaped("<b class=\"x\">'&'</b>") ==
          "&lt;b class=&quot;x&quot;&gt;&#39;&amp;&#39;&lt;/b&gt;");
    CHECK(escaped("two\nlines\tand a tab") == "two\nlines\tand a tab");
    CHECK(escaped(std::string("nul\0\x1B", 5)) == "nul\uFFFD\uFFFD");
}
