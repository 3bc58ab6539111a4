// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/output_folder.h"

#include <doctest/doctest.h>

#include "core/error.h"
#include "support/scratch.h"

using namespace paleproof;
using app::OutputFolder;
using test::read_text;
using test::Scratch;

TEST_CASE("nothing of a new edition is seen before it is committed") {
    const Scratch scratch("commit");
    scratch.write("report.json", "old");
    {
        OutputFolder out(scratch.path());
        out.write("report.json", "new");
        out.write("faces/a.png", "pixels");
        CHECK(read_text(scratch / "report.json") == "old");
        CHECK_FALSE(std::filesystem::exists(scratch / "faces/a.png"));
        out.commit({});
    }
    CHECK(read_text(scratch / "report.json") == "new");
    CHECK(read_text(scratch / "faces/a.png") == "pixels");
    CHECK_FALSE(std::filesystem::exists(scratch / ".paleproof-new"));
}

TEST_CASE("an edition that is given up leaves the old one and no trace") {
    const Scratch scratch("given-up");
    scratch.write("report.json", "old");
    {
        OutputFolder out(scratch.path());
        out.write("report.json", "new");
    }
    CHECK(read_text(scratch / "report.json") == "old");
    CHECK_FALSE(std::filesystem::exists(scratch / ".paleproof-new"));
}

TEST_CASE("outdated files go, the user's own and those outside stay") {
    const Scratch scratch("outdated");
    const auto outside = scratch.write("outside.txt", "mine");
    scratch.write("edition/faces/old.png", "old");
    scratch.write("edition/notes.txt", "mine");
    OutputFolder out(scratch / "edition");
    out.write("faces/new.png", "new");
    out.commit({"faces/old.png", "faces/new.png", "../outside.txt", outside.string()});
    CHECK_FALSE(std::filesystem::exists(scratch / "edition/faces/old.png"));
    CHECK(read_text(scratch / "edition/faces/new.png") == "new");
    CHECK(read_text(scratch / "edition/notes.txt") == "mine");
    CHECK(read_text(outside) == "mine");
}

TEST_CASE("a file where the folder should be is refused") {
    const Scratch scratch("file");
    const auto file = scratch.write("edition", "a file");
    CHECK_THROWS_AS(OutputFolder{file}, Error);
    CHECK(read_text(file) == "a file");
}

TEST_CASE("a file of the user's is refused before the work, and again when it came meanwhile") {
    const Scratch scratch("users");
    const auto art = scratch.write("edition/faces/a.png", "art");
    const std::vector<std::string> names{"faces/a.png", "faces/b.png"};
    OutputFolder out(scratch / "edition");
    CHECK_NOTHROW(out.refuse_users_files(names));
    out.protect(art);
    CHECK_THROWS_AS(out.refuse_users_files(names), Error);
    CHECK_NOTHROW(out.refuse_users_files(std::vector<std::string>{"faces/b.png"}));

    out.protect(scratch / "edition/faces/b.png");  // not there yet
    out.write("faces/b.png", "proof");
    scratch.write("edition/faces/b.png", "art too");
    CHECK_THROWS_AS(out.commit({}), Error);
    CHECK(read_text(scratch / "edition/faces/b.png") == "art too");
}
