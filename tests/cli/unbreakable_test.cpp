// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Faults from outside, each through the tool: docs/faults.md tells what a user sees.
#include <doctest/doctest.h>
#include <unistd.h>

#include <set>
#include <string>

#include "cli/tool.h"

using namespace paleproof::test;
namespace fs = std::filesystem;

namespace {

bool says(const CommandResult& result, const std::string& part) {
    return result.output.find(part) != std::string::npos;
}

bool fine(const CommandResult& made) { return made.status == 0 || made.status == 3; }

/// A small face: 375 x 525 px, without much text.
void put_face(const fs::path& to) {
    fs::create_directories(to.parent_path());
    fs::copy_file(fs::path(PALEPROOF_DEMO_DECK) / "still-pond.png", to,
                  fs::copy_options::overwrite_existing);
}

std::string make_of(const Scratch& scratch, const std::string& out, const std::string& more = "") {
    return quoted(PALEPROOF_BINARY) + " -q make " + quoted((scratch / "cards").string()) + " -o " +
           quoted((scratch / out).string()) + " --papers a4 " + more;
}

/// The files of an edition without what a killed run has staged, and without the cache.
std::map<std::string, std::string> edition_of(const fs::path& folder) {
    auto content = content_of(folder);
    std::erase_if(content, [](const auto& file) { return file.first.starts_with(".paleproof-"); });
    return content;
}

/// The line run by a user without special rights: root may read and write everything.
std::string as_user(const std::string& line) {
    return geteuid() == 0 ? "setpriv --reuid=65534 --regid=65534 --clear-groups " + line : line;
}

/// False, with a message, where that user cannot reach the program, as below a closed home folder.
bool user_can_run() {
    if (run_command(as_user(quoted(PALEPROOF_BINARY) + " --version")).status == 0) return true;
    MESSAGE("passed over: another user cannot reach " PALEPROOF_BINARY);
    return false;
}

}  // namespace

TEST_CASE("a full disk is one clear line, and the old edition stays") {
    const Scratch scratch("full");
    put_face(scratch / "cards/a.png");
    REQUIRE(fine(run_command(make_of(scratch, "out"))));
    const auto before = edition_of(scratch / "out");
    // RLIMIT_FSIZE in blocks of 1024 bytes: the proof, the pages or the report do not fit.
    for (const int blocks : {1, 20, 100, 200}) {
        CAPTURE(blocks);
        const auto made = run_command("ulimit -f " + std::to_string(blocks) + "; " +
                                      make_of(scratch, "out", "--ink-budget 9%"));
        CAPTURE(made.output);
        CHECK(made.status == 2);
        CHECK(says(made, "paleproof: "));
        CHECK((edition_of(scratch / "out") == before));
    }
}

TEST_CASE("an output that cannot be written, or is a file, is one clear line") {
    const Scratch scratch("readonly");
    put_face(scratch / "cards/a.png");
    scratch.write("file", "kept");
    for (const std::string& out : {std::string("/proc/paleproof"), (scratch / "file").string()}) {
        CAPTURE(out);
        const auto made =
            run_tool("-q make " + quoted((scratch / "cards").string()) + " -o " + quoted(out));
        CHECK(made.status == 2);
        CHECK(says(made, "expected a folder"));
    }
    CHECK(read_text(scratch / "file") == "kept");
}

TEST_CASE("output folder = source folder works twice; art and deck list are never replaced") {
    const Scratch scratch("same");
    put_face(scratch / "cards/a.png");
    const std::string art = read_text(scratch / "cards/a.png");
    const std::string same = make_of(scratch, "cards");
    REQUIRE(fine(run_command(same)));
    const auto first = edition_of(scratch / "cards");
    REQUIRE(fine(run_command(same)));
    CHECK((edition_of(scratch / "cards") == first));
    CHECK(read_text(scratch / "cards/a.png") == art);

    put_face(scratch / "game/faces/a.png");
    scratch.write("game/deck.csv", "face\nfaces/a.png\n");
    const auto made = run_tool("-q make " + quoted((scratch / "game/deck.csv").string()) + " -o " +
                               quoted((scratch / "game").string()));
    CHECK(made.status == 2);
    CHECK_MESSAGE(says(made, "choose another folder with -o"), made.output);
    CHECK(read_text(scratch / "game/faces/a.png") == art);
    CHECK_FALSE(fs::exists(scratch / "game/report.html"));
    scratch.write("list/ink.csv", "face\n../cards/a.png\n");
    CHECK(run_tool("-q make " + quoted((scratch / "list/ink.csv").string()) + " -o " +
                   quoted((scratch / "list").string()))
              .status == 2);
    CHECK(read_text(scratch / "list/ink.csv") == "face\n../cards/a.png\n");
}

TEST_CASE("a source that changes during the run gives a whole edition all the same") {
    const Scratch scratch("changing");
    for (int i = 0; i < 4; ++i) put_face(scratch / ("cards/" + std::to_string(i) + ".png"));
    const std::string other = std::string(PALEPROOF_DEMO_DECK) + "/waiting-jar.png";
    const auto made = run_command("( for i in 0 1 2 3; do sleep 0.1; cp " + quoted(other) + " " +
                                  quoted((scratch / "cards").string()) + "/$i.png; done; : > " +
                                  quoted((scratch / "cards/3.png").string()) + " ) & " +
                                  make_of(scratch, "out", "--threads 1") + "; s=$?; wait; exit $s");
    CAPTURE(made.output);
    CHECK((fine(made) || made.status == 2));
    if (fs::exists(scratch / "out")) {
        CHECK(run_command("qpdf --check " + quoted((scratch / "out/pages.pdf").string())).status ==
              0);
    }
    REQUIRE(run_command(make_of(scratch, "out")).status == 2);  // 3.png is empty now
    CHECK(json_of(scratch / "out/report.json").at("faces").size() == 4);
}

TEST_CASE("links in circles, pipes, folders, empty files and bombs are findings, at once") {
    const Scratch scratch("odd-files");
    put_face(scratch / "cards/good.png");
    fs::create_symlink("loop.png", scratch / "cards/loop.png");
    fs::create_symlink("nowhere.png", scratch / "cards/dangling.png");
    fs::create_directory_symlink("../cards", scratch / "cards/again");
    fs::create_directories(scratch / "cards/folder.png");
    run_command("mkfifo " + quoted((scratch / "cards/pipe.png").string()));
    scratch.write("cards/empty.png", "");
    std::set<std::string> bad{"loop", "dangling", "folder", "pipe", "empty"};
    for (const auto& file : fs::directory_iterator(PALEPROOF_FIXTURES "/damaged")) {
        fs::copy_file(file.path(), scratch / "cards" / file.path().filename(),
                      fs::copy_options::overwrite_existing);
    }
    const auto made = run_command("timeout 60 " + make_of(scratch, "out"));
    CHECK_MESSAGE(made.status == 2, made.output);
    int unreadable = 0;
    const auto report = json_of(scratch / "out/report.json");
    for (const auto& face : report.at("faces")) {
        for (const auto& finding : face.at("findings")) {
            if (finding.at("rule") != "face-unreadable") continue;
            ++unreadable;
            bad.erase(face.at("name").get<std::string>());
            CHECK(finding.at("message").get<std::string>().find('\n') == std::string::npos);
        }
    }
    CHECK(bad.empty());
    CHECK(unreadable >= 20);
    CHECK(fs::exists(scratch / "out/faces/good.png"));
}

TEST_CASE("a file that may not be read is a finding, a folder that may not is one clear line") {
    const Scratch scratch("no-right");
    if (!user_can_run()) return;
    put_face(scratch / "cards/good.png");
    put_face(scratch / "cards/secret.png");
    put_face(scratch / "locked/a.png");
    fs::permissions(scratch / "cards/secret.png", fs::perms::none);
    fs::permissions(scratch / "locked", fs::perms::none);
    fs::permissions(scratch.path(), fs::perms::all);
    const auto made = run_command(as_user(make_of(scratch, "out")));
    CHECK_MESSAGE(made.status == 2, made.output);
    CHECK(fs::exists(scratch / "out/faces/good.png"));
    const auto report = json_of(scratch / "out/report.json");
    for (const auto& face : report.at("faces")) {
        if (face.at("name") != "secret") continue;
        const auto& finding = face.at("findings").at(0);
        CHECK(finding.at("rule") == "face-unreadable");
        CHECK(finding.at("message").get<std::string>().find("Permission denied") !=
              std::string::npos);
    }
    const auto locked = run_command(as_user(quoted(PALEPROOF_BINARY) + " -q make " +
                                            quoted((scratch / "locked").string()) + " -o " +
                                            quoted((scratch / "other").string())));
    fs::permissions(scratch / "locked", fs::perms::owner_all);
    CHECK_MESSAGE(locked.status == 2, locked.output);
    CHECK_MESSAGE(says(locked, "expected a folder that can be read"), locked.output);
}

TEST_CASE("an output that may not be written is one clear line, and the old edition stays") {
    const Scratch scratch("no-write");
    if (!user_can_run()) return;
    put_face(scratch / "cards/a.png");
    REQUIRE(fine(run_command(make_of(scratch, "out"))));
    const auto before = edition_of(scratch / "out");
    // The folder alone, then a folder in it: the run gets further before it is told.
    for (const char* locked : {"out", "out/faces"}) {
        CAPTURE(locked);
        for (const char* open : {".", "out", "out/faces"})
            fs::permissions(scratch / open, fs::perms::all);
        fs::permissions(scratch / locked, fs::perms(0555));
        const auto made = run_command(as_user(make_of(scratch, "out", "--ink-budget 9%")));
        CHECK_MESSAGE(made.status == 2, made.output);
        CHECK_MESSAGE((says(made, "expected a folder that can be written") ||
                       says(made, "could not be put in place: Permission denied")),
                      made.output);
        CHECK((edition_of(scratch / "out") == before));
        CHECK_FALSE(fs::exists(scratch / "out/.paleproof-new"));
    }
}

TEST_CASE("paths in a deck list may lead anywhere to read, and nowhere to write") {
    const Scratch scratch("paths");
    put_face(scratch / "elsewhere/a.png");
    scratch.write("game/deck.csv", "face,name\n../elsewhere/a.png,../../escape\n" +
                                       (scratch / "elsewhere/a.png").string() + ",/tmp/escape\n");
    const auto before = content_of(scratch / "elsewhere");
    const auto made = run_tool("-q make " + quoted((scratch / "game/deck.csv").string()) + " -o " +
                               quoted((scratch / "out").string()) + " --papers a4");
    REQUIRE_MESSAGE(fine(made), made.output);
    CHECK((content_of(scratch / "elsewhere") == before));
    CHECK_FALSE(fs::exists("/tmp/escape.png"));
    for (const auto& [name, bytes] : edition_of(scratch / "out")) {
        for (const fs::path& part : fs::path(name)) CHECK(part != "..");
    }
    int proofs = 0;
    for (const auto& file : fs::directory_iterator(scratch / "out/faces")) {
        proofs += file.path().extension() == ".png" ? 1 : 0;
    }
    CHECK(proofs == 2);
}

TEST_CASE("two runs into one folder: one makes it, the other says so in one line") {
    const Scratch scratch("twice");
    // Enough faces that the first still runs when the second has waited its second for it.
    for (int i = 0; i < 64; ++i) put_face(scratch / ("cards/" + std::to_string(i) + ".png"));
    const std::string run = make_of(scratch, "out", "--threads 1");
    const auto both = run_command("( " + run + "; echo first $? ) & sleep 0.15; " + run +
                                  "; echo second $?; wait");
    CAPTURE(both.output);
    CHECK((says(both, "first 0") || says(both, "first 3")));
    CHECK(says(both, "second 2"));
    CHECK(says(both, "another run is writing into this folder"));
    CHECK(fine(run_command(run)));
}

TEST_CASE("a terminal that goes away stops the run like an interrupt; a closed output does not") {
    const Scratch scratch("terminal");
    for (int i = 0; i < 4; ++i) put_face(scratch / ("cards/" + std::to_string(i) + ".png"));
    const auto hung = run_command("timeout --preserve-status -s HUP 0.2 " +
                                  make_of(scratch, "out", "--threads 1"));
    CHECK_MESSAGE(hung.status == 130, hung.output);
    CHECK_FALSE(fs::exists(scratch / "out/report.json"));
    CHECK(fine(run_command(make_of(scratch, "out") + " >&- 2>&-")));
    CHECK(
        fine(run_command("bash -c 'set -o pipefail; \"$@\" | true' - " + make_of(scratch, "out"))));
    CHECK(fs::exists(scratch / "out/report.json"));
}

TEST_CASE("locale, time zone, umask and home change no byte") {
    const Scratch scratch("surroundings");
    put_face(scratch / "cards/a.png");
    REQUIRE(fine(run_command(make_of(scratch, "plain"))));
    // Debian's locales package brings the sources; an unknown name would silently mean "C".
    fs::create_directories(scratch / "locales");
    // glibc never frees its list of LOCPATH, which a leak sanitizer would report.
    const std::string german =
        "ASAN_OPTIONS=detect_leaks=0 LOCPATH=" + quoted((scratch / "locales").string()) +
        " LC_ALL=de_DE.UTF-8 LANG=de_DE.UTF-8 ";
    run_command("localedef -i de_DE -f UTF-8 " +
                quoted((scratch / "locales/de_DE.UTF-8").string()));
    REQUIRE(run_command(german + "locale decimal_point").output == ",\n");
    const auto made = run_command("umask 077; env -i " + german + "TZ=Pacific/Chatham " +
                                  make_of(scratch, "other", "--ink-budget 12.0%"));
    REQUIRE_MESSAGE(fine(made), made.output);
    CHECK((edition_of(scratch / "plain") == edition_of(scratch / "other")));
}

#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
TEST_CASE("too little memory is a clear line, never a crash") {
    const Scratch scratch("memory");
    put_face(scratch / "cards/a.png");
    for (int kilobytes = 80'000; kilobytes <= 200'000; kilobytes += 20'000) {
        CAPTURE(kilobytes);
        // 127: the loader itself found no room for the libraries.
        const auto made =
            run_command("ulimit -v " + std::to_string(kilobytes) + "; " + make_of(scratch, "out"));
        CAPTURE(made.output);
        CHECK((fine(made) || made.status == 2 || made.status == 127));
        if (made.status == 2) {
            CHECK((says(made, "paleproof: ") || says(made, "face-unreadable")));
        }
    }
}
#endif
