// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "cli/tool.h"

using namespace paleproof::test;

namespace {

bool says(const CommandResult& result, const std::string& part) {
    return result.output.find(part) != std::string::npos;
}

void copy_face(const char* name, const std::filesystem::path& to) {
    std::filesystem::create_directories(to.parent_path());
    std::filesystem::copy_file(std::filesystem::path(PALEPROOF_DEMO_DECK) / name, to);
}

}  // namespace

TEST_CASE(
    "one bad face never stops the deck: the others are made, the status is 2, the report says "
    "why") {
    const Scratch scratch("bad-face");
    copy_face("lampwing.png", scratch / "cards/a good one.png");
    copy_face("harvest-moon.jpg", scratch / "cards/jpeg called.png");
    scratch.write("cards/text.png", "this is no picture");
    scratch.write("cards/nothing.jpg", "");
    scratch.write("cards/cut.png", read_text(scratch / "cards/a good one.png").substr(0, 30'000));
    std::filesystem::create_directories(scratch / "cards/folder.png");
    const auto made = run_tool("make " + quoted((scratch / "cards").string()));
    CHECK(made.status == 2);
    const auto report = json_of(scratch / "cards-edition/report.json");
    std::map<std::string, bool> proof;
    for (const auto& face : report.at("faces")) {
        proof[face.at("source").get<std::string>()] =
            !face.at("ink").is_null() && !face.at("ink").at("proof").is_null();
    }
    CHECK(proof == std::map<std::string, bool>{{"a good one.png", true},
                                               {"cut.png", false},
                                               {"folder.png", false},
                                               {"jpeg called.png", true},
                                               {"nothing.jpg", false},
                                               {"text.png", false}});
    CHECK(std::filesystem::exists(scratch / "cards-edition/faces/a good one.png"));
    CHECK(run_command("qpdf --check " + quoted((scratch / "cards-edition/sheets-a4.pdf").string()))
              .status == 0);
    CHECK(says(made, "face-unreadable"));
}

TEST_CASE("a missing file in a deck list is one unreadable face, a missing back too") {
    const Scratch scratch("missing");
    copy_face("lampwing.png", scratch / "a.png");
    scratch.write("deck.csv", "face,back\na.png,no-back.png\nb.png,\n");
    const auto made = run_tool("make " + quoted((scratch / "deck.csv").string()));
    CHECK(made.status == 2);
    CHECK(says(made, "no-back"));
    CHECK(std::filesystem::exists(scratch / "deck-edition/faces/a.png"));
    CHECK(std::filesystem::exists(scratch / "deck-edition/sheets-a4.pdf"));
}

TEST_CASE("names with spaces, umlauts, quotes, line breaks and markup are safe everywhere") {
    const Scratch scratch("names");
    for (const char* name : {"Käfer & Mönch.png", "a \"quoted\" one.png", "<b>bold<br>.png",
                             "=1+1.png", "(pdf) ) Tj.png", "two\nlines.png"}) {
        copy_face("waiting-jar.png", scratch / "cards" / name);
    }
    const auto made = run_tool("make " + quoted((scratch / "cards").string()) + " --papers a4");
    REQUIRE_MESSAGE((made.status == 0 || made.status == 3), made.output);
    const std::string html = read_text(scratch / "cards-edition/report.html");
    CHECK(html.find("<b>bold") == std::string::npos);
    CHECK(html.find("Käfer &amp; Mönch") != std::string::npos);
    CHECK(run_command("qpdf --check " + quoted((scratch / "cards-edition/pages.pdf").string()))
              .status == 0);
    for (const auto& entry : std::filesystem::directory_iterator(scratch / "cards-edition/faces")) {
        CHECK(entry.path().filename().string().find_first_of("<>\"\n") == std::string::npos);
    }
}

TEST_CASE("a wrong source or setting changes nothing in the edition that is there") {
    const Scratch scratch("kept");
    scratch.write("out/report.json", "old");
    copy_face("lampwing.png", scratch / "cards/a.png");
    const std::string out = " -o " + quoted((scratch / "out").string());
    CHECK(run_tool("make " + quoted((scratch / "nothing").string()) + out).status == 2);
    CHECK(run_tool("make " + quoted((scratch / "cards").string()) + " --separation cyan" + out)
              .status == 2);
    const auto wide =
        run_tool("make " + quoted((scratch / "cards").string()) + " --size 300x400mm" + out);
    CHECK(wide.status == 2);
    CHECK(says(wide, "margin"));
    CHECK(read_text(scratch / "out/report.json") == "old");
    CHECK(content_of(scratch / "out").size() == 1);
}

TEST_CASE("an interrupted run ends with 130 and leaves the old edition whole") {
    const Scratch scratch("interrupt");
    std::filesystem::copy(demo_edition(), scratch / "edition",
                          std::filesystem::copy_options::recursive);
    const auto before = content_of(scratch / "edition");
    // Long enough to be hit: the deck with one thread, stopped after a fraction of a second.
    const auto stopped =
        run_command("timeout --preserve-status -s INT 0.3 " + quoted(PALEPROOF_BINARY) + " make " +
                    quoted(std::string(PALEPROOF_DEMO_DECK) + "/deck.csv") +
                    " --threads 1 --style color -o " + quoted((scratch / "edition").string()));
    CHECK_MESSAGE(stopped.status == 130, stopped.output);
    CHECK((content_of(scratch / "edition") == before));
}

TEST_CASE("a setting in the job file is overruled by the command line") {
    const Scratch scratch("wins");
    copy_face("waiting-jar.png", scratch / "cards/a.png");
    scratch.write(
        "job.toml",
        "[deck]\nfaces = \"cards\"\n[look]\nstyle = \"color\"\n[sheets]\npapers = \"a4\"\n");
    const auto made = run_tool("make " + quoted((scratch / "job.toml").string()) + " --style gray");
    REQUIRE_MESSAGE((made.status == 0 || made.status == 3), made.output);
    CHECK(says(made, "gray"));
    CHECK(std::filesystem::exists(scratch / "job-edition/sheets-a4.pdf"));
    CHECK_FALSE(std::filesystem::exists(scratch / "job-edition/sheets-letter.pdf"));
    const auto face = json_of(scratch / "job-edition/report.json").at("faces")[0];
    CHECK(face.at("ink").at("proof").at("c").get<double>() == 0.0);
}
