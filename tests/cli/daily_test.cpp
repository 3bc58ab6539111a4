// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Daily use: progress, summaries, colors, JSON for scripts, watch.
#include <doctest/doctest.h>

#include <chrono>
#include <functional>
#include <thread>

#include "cli/small_deck.h"

using namespace paleproof::test;
namespace fs = std::filesystem;

namespace {

/// The command on a terminal of its own, which `script` (util-linux) gives it.
std::string on_terminal(const fs::path& folder, const std::string& line) {
    return run_shown(folder, "TERM=xterm script -qec " + quoted(line) + " /dev/null </dev/null")
        .output;
}

bool within(double seconds, const std::function<bool()>& holds) {
    const auto end = std::chrono::steady_clock::now() + std::chrono::duration<double>(seconds);
    while (std::chrono::steady_clock::now() < end) {
        if (holds()) return true;
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
    return holds();
}

}  // namespace

TEST_CASE("progress: a bar on a terminal, plain lines elsewhere, nothing when quiet") {
    const Scratch scratch("progress");
    write_small_deck(scratch.path());
    const std::string bar = on_terminal(scratch.path(), "paleproof check deck");
    CHECK(bar.find("\r\x1b[Ksurvey  [####") != std::string::npos);
    CHECK(bar.find("3 of 3") != std::string::npos);
    const auto plain = run_shown(scratch.path(), "paleproof check deck 2>&1 >/dev/null");
    CHECK(plain.output == "survey  3 of 3\n");
    const auto quiet = run_shown(scratch.path(), "paleproof check -q deck 2>&1 >/dev/null");
    CHECK(quiet.output == "");
}

TEST_CASE("colors stand on a terminal only, and not when NO_COLOR asks for none") {
    const Scratch scratch("colors");
    write_small_deck(scratch.path());
    const std::string color = on_terminal(scratch.path(), "paleproof check -q deck");
    CHECK(color.find("\x1b[1;33m  warning  \x1b[0m") != std::string::npos);
    CHECK(color.find("\x1b[1mDeck\x1b[0m") != std::string::npos);
    const std::string none = on_terminal(scratch.path(), "NO_COLOR=1 paleproof check -q deck");
    CHECK(none.find("\x1b[1") == std::string::npos);
    CHECK(none.find("  warning  ") != std::string::npos);
    const auto piped = run_shown(scratch.path(), "paleproof check -q deck");
    CHECK(piped.output.find('\x1b') == std::string::npos);
}

TEST_CASE("the summary says what was made, the three worst findings and the next step") {
    const Scratch scratch("summary");
    write_small_deck(scratch.path());
    const auto made = run_shown(scratch.path(), "paleproof make -q deck -o edition");
    std::size_t findings = 0;
    for (std::size_t at = 0; (at = made.output.find("\n  warning  ", at)) != std::string::npos;
         ++at) {
        ++findings;
    }
    CHECK(findings == 3);
    CHECK(made.output.find("           also ") != std::string::npos);
    CHECK(made.output.find("\nMade       edition\n") != std::string::npos);
    CHECK(made.output.find("\nNext       open edition/report.html") != std::string::npos);
    CHECK(made.output.find("saved, estimated") != std::string::npos);
}

TEST_CASE("a file that cannot be read decides the next step") {
    const Scratch scratch("unread");
    write_small_deck(scratch.path());
    std::ofstream(scratch / "deck/torn.png") << "\x89PNG";
    const auto made = run_shown(scratch.path(), "paleproof make -q deck -o edition");
    CHECK(made.status == 2);
    CHECK(made.output.find("  error  face-unreadable: torn: ") != std::string::npos);
    CHECK(made.output.find("Next       mend 1 file that could not be read") != std::string::npos);
}

TEST_CASE("--json - puts the report and nothing else on standard output") {
    const Scratch scratch("json");
    write_small_deck(scratch.path());
    for (const char* command : {"make deck -o edition", "check deck"}) {
        CAPTURE(command);
        const auto shown = run_shown(scratch.path(),
                                     "paleproof " + std::string(command) + " --json - 2>/dev/null");
        const auto json = nlohmann::json::parse(shown.output);
        CHECK(json["faces"].size() == 3);
        CHECK(json.contains("deck"));
    }
    CHECK(run_shown(scratch.path(), "paleproof make deck -o edition --json a.json -q").status == 0);
    CHECK(json_of(scratch / "a.json") == json_of(scratch / "edition/report.json"));
}

TEST_CASE("watch makes again what was saved, waits for half files, and ends with Ctrl-C") {
    const Scratch scratch("watch");
    write_small_deck(scratch.path());
    const fs::path face = scratch / "deck/lampwing.png";
    const fs::path log = scratch / "log";
    const auto started =
        run_shown(scratch.path(),
                  "( paleproof watch -q deck -o edition >log 2>&1 & p=$!; echo $p >pid; wait $p; "
                  "echo ended $? >>log ) >/dev/null 2>&1 & sleep 0.2");
    REQUIRE(started.status == 0);
    const auto said = [&](const std::string& words) {
        return read_text(log).find(words) != std::string::npos;
    };
    REQUIRE(within(60.0, [&] { return said("Watching   deck"); }));
    const auto edition = json_of(scratch / "edition/edition.json");

    // Half a file, as a drawing program leaves it while it writes, over the face.
    const std::string art = read_text(fs::path(PALEPROOF_DEMO_DECK) / "ashveil.png");
    std::ofstream(face, std::ios::binary) << art.substr(0, art.size() / 2);
    CHECK(!within(1.5, [&] { return said("Made again"); }));
    std::ofstream(face, std::ios::binary) << art;
    const auto saved = std::chrono::steady_clock::now();
    REQUIRE(within(60.0, [&] { return said("Made again lampwing.png, in"); }));
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - saved;
    MESSAGE("in the edition " << took.count() << " s after it was saved");
    CHECK(json_of(scratch / "edition/edition.json") != edition);

    // A list that is broken is told, and does not end the watch.
    fs::remove(scratch / "deck/back-orchard.png");
    REQUIRE(within(60.0, [&] { return said("Made again back-orchard.png"); }));
    run_shown(scratch.path(), "kill -INT $(cat pid)");
    CHECK(within(10.0, [&] { return said("ended 0"); }));
}
