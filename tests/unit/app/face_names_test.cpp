// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/face_names.h"

#include <doctest/doctest.h>

using paleproof::app::FaceNames;

TEST_CASE("names stay as they are when they can, umlauts and spaces included") {
    FaceNames names;
    CHECK(names.unique("Nachtfalter grün") == "Nachtfalter grün");
    CHECK(names.unique("a+b (2)") == "a+b (2)");
}

TEST_CASE("equal names get numbers, also where the file system ignores case") {
    FaceNames names;
    CHECK(names.unique("Moth") == "Moth");
    CHECK(names.unique("moth") == "moth-2");
    CHECK(names.unique("Moth") == "Moth-3");
    CHECK(names.unique("moth-2") == "moth-2-2");
}

TEST_CASE("what a file system refuses is replaced and nothing leaves the folder") {
    FaceNames names;
    CHECK(names.unique("../../etc/passwd") == "-..-etc-passwd");
    CHECK(names.unique("a/b\\c:d*e?f\"g<h>i|j") == "a-b-c-d-e-f-g-h-i-j");
    CHECK(names.unique("line\nbreak\ttab") == "line-break-tab");
    CHECK(names.unique("...") == "face");
    CHECK(names.unique("") == "face-2");
    CHECK(names.unique("end. ") == "end");
}

TEST_CASE("long names are cut at a character") {
    FaceNames names;
    std::string wanted = "a";
    for (int i = 0; i < 100; ++i) wanted += "ü";
    const std::string name = names.unique(wanted);
    CHECK(name.size() <= 120);
    CHECK(name.size() % 2 == 1);
    CHECK(name.ends_with("ü"));
}
