// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/base64.h"

#include <doctest/doctest.h>

#include <string>
#include <utility>

using namespace paleproof;

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
        const auto bytes = from_base64(coded);
        CHECK(std::string(bytes.begin(), bytes.end()) == plain);
    }
    CHECK(base64(std::string("\xFF\xFE\x00\xFB", 4)) == "//4A+w==");  // by Python's base64
    CHECK(from_base64("Zm9v*mFy").empty());
}
