// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// What a new user gets wrong: slips on the command line, in deck lists and job files, and folders
// that are not what they seem. Each is answered in one line that says what to do.
#include <doctest/doctest.h>

#include <algorithm>
#include <utility>
#include <vector>

#include "cli/small_deck.h"

using namespace paleproof::test;
namespace fs = std::filesystem;

namespace {

void copy_face(const char* name, const fs::path& to) {
    fs::create_directories(to.parent_path());
    fs::copy_file(fs::path(PALEPROOF_DEMO_DECK) / name, to);
}

/// What the command says on standard error when it refuses: one line.
void refuses(const Scratch& scratch, const std::string& arguments, const std::string& words) {
    CAPTURE(arguments);
    const auto result = run_shown(scratch.path(), "paleproof " + arguments + " -q 2>&1 >/dev/null");
    CHECK(result.status == 2);
    CHECK_MESSAGE(result.output.find(words) != std::string::npos, result.output);
    CHECK_MESSAGE(std::ranges::count(result.output, '\n') == 1, result.output);
    CHECK(result.output.starts_with("paleproof: "));
}

bool says(const CommandResult& result, const std::string& words) {
    return result.output.find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("slips on the command line are answered with what was meant") {
    const Scratch scratch("slips");
    copy_face("waiting-jar.png", scratch / "my deck/jar.png");
    for (const auto& [arguments, words] : std::vector<std::pair<std::string, std::string>>{
             {"", "expected a command: make, watch, check, sheets, job or explain"},
             {"mak deck", "mak: no such command; did you mean make?"},
             {"'my deck'", "expected a command before it, as in `paleproof make 'my deck'`"},
             {"make", "expected SOURCE, a folder of faces"},
             {"sheets", "expected OUT, a folder of the edition"},
             {"make 'my deck' --sytle gray",
              "--sytle: make has no such option; did you mean "
              "--style?"},
             {"make --sytle gray", "did you mean --style?"},
             {"make my deck", "'deck' is one argument too many; a name with spaces needs quotes"},
             {"make 'my deck' --style grey", "got 'grey'; did you mean gray?"},
             {"make 'my deck' --bleed 3", "a length with a unit, like 3mm"},
             {"make 'my deck' --bleed 3,5mm", "did you mean 3.5mm?"},
             {"make 'my deck' --size 63x88", "did you mean 63x88mm?"},
             {"make 'my deck' --size ''", "a card size like poker, 63x88mm or 2.5x3.5in, got ''"},
             {"make 'my deck' --size pokr", "did you mean poker?"},
             {"make 'my deck' --ink-budget 12", "got '12'; did you mean 12%?"},
             {"make 'my deck' --ink-budget 0%", "expected a share over 0%, like 12%, got '0%'"},
             {"make 'my deck' --total-limit 300", "did you mean 300%?"},
             {"make 'my deck' --currency ''",
              "currency: expected a currency like EUR or $, got ''"},
             {"make 'my deck' --title ' '", "title: expected a text, got ' '"},
             {"make 'my deck' --read --read-language ''", "expected a language like eng"},
             {"make 'my deck' --read=maybe", "read: expected one of true, false, got 'maybe'"},
             {"make 'my deck' --text Clear-Print", "did you mean clear-print?"},
             {"make 'my deck' --separation uncoatd", "did you mean uncoated?"},
             {"make 'my deck' --cartridges K:20/480", "inks are small letters: c, m, y, k"},
             {"make 'my deck' --papers a4 --papers letter",
              "--papers: expected once, found 2 times; put several values into one"},
             {"make 'my deck' --json no/where.json", "there is no folder no"},
             {"make 'my deck' --json 'my deck'", "expected a file to write, found a folder"},
             {"make 'my deck' --threads 1.5", "threads: expected a whole number, got '1.5'"},
             {"explain text-smal", "did you mean text-small?"},
             {"explain readable", "no such rule; `paleproof explain` names all"},
             {"make 'no\nwhere'", "paleproof: no where: expected a folder of faces"},
             {"make nowhere", "there is nothing of that name"},
             {"make 'my deck/jar.png'",
              "got one picture; name the folder that it lies in, my deck"},
         }) {
        refuses(scratch, arguments, words);
    }
    // As the last word, an option has nothing behind it.
    CHECK(says(run_shown(scratch.path(), "paleproof make 'my deck' --style"),
               "--style: expected color | tint | gray | line | hatch behind it, found nothing\n"));
}

TEST_CASE("deck lists as spreadsheets write them are read; what is wrong is named by its row") {
    const Scratch scratch("lists");
    copy_face("waiting-jar.png", scratch / "Große Motte.PNG");
    const auto list = [&](const std::string& content) {
        scratch.write("list.csv", content);
        return run_shown(scratch.path(), "paleproof check -q list.csv 2>&1");
    };
    CHECK(says(list("\xEF\xBB\xBF"
                    "face;name;copies\r\nGroße Motte.PNG;Motte;2\r\n"),
               "1 face, 2 cards"));
    CHECK(says(list("face\tcopies\nGroße Motte.PNG\t3\n"), "1 face, 3 cards"));
    CHECK(says(list("face,nmae\nGroße Motte.PNG,Motte\n"), "did you mean name?"));
    CHECK(says(list("face,copies\r\nGroße Motte.PNG,1\r\n\r\nGroße Motte.PNG,two\r\n"),
               "list.csv, row 4: copies: expected a whole number"));
    // "Gro\xDF" is ß in ISO 8859-1 and no UTF-8 (RFC 3629).
    CHECK(says(list("face\nGro\xDF"
                    "e Motte.PNG\n"),
               "save the list as \"CSV UTF-8\""));
    CHECK(says(list(std::string("\xFF\xFE"
                                "f\0a\0",
                                6)),
               "save the list as \"CSV UTF-8\""));
    CHECK(says(list("face\nGroße Motte.png\n"), "did you mean 'Große Motte.PNG'?"));
    CHECK(says(list("face\nGroße Mote.PNG\n"), "did you mean 'Große Motte.PNG'?"));
    CHECK(says(list("face\nsomething else.png\n"), "there is no such file\n"));
}

TEST_CASE("what a folder holds beside its faces is said, not passed over in silence") {
    const Scratch scratch("left-out");
    copy_face("harvest-moon.jpg", scratch / "deck/called.png");
    copy_face("waiting-jar.png", scratch / "deck/UPPER.PNG");
    copy_face("waiting-jar.png", scratch / "deck/inner/nested.png");
    scratch.write("deck/art.webp", "RIFF");
    scratch.write("deck/notes.txt", "");
    const auto made = run_shown(scratch.path(), "paleproof make -q deck -o deck/edition");
    CHECK(says(made, "Deck       deck: 2 faces, 2 cards"));
    CHECK(says(made, "Left out   1 picture in the folder 'inner' below"));
    CHECK(says(made, "art.webp: save as PNG or JPEG"));
    CHECK(!says(made, "notes.txt"));
    const auto report = json_of(scratch / "deck/edition/report.json");
    CHECK(report["faces"][1]["notes"].dump().find("JPEG picture whose file is called .png") !=
          std::string::npos);
    CHECK(report["faces"][0]["notes"].empty());
    // The edition inside of the folder is no part of the deck.
    CHECK(!says(run_shown(scratch.path(), "paleproof check -q deck"), "edition"));

    fs::create_directories(scratch / "empty");
    refuses(scratch, "make empty", "expected faces as .png, .jpg or .jpeg files, found none");
    copy_face("waiting-jar.png", scratch / "outer/inner/nested.png");
    refuses(scratch, "make outer", "but 1 picture in the folder 'inner' below");
    refuses(scratch, "make deck/edition", "expected a folder of faces, found an edition");
    refuses(scratch, "make ''", "SOURCE: expected a folder of faces");

    // An edition in the folder of its own faces: its PDFs are no pictures that were forgotten.
    fs::create_directories(scratch / "own");
    copy_face("waiting-jar.png", scratch / "own/jar.png");
    REQUIRE(run_shown(scratch.path(), "paleproof make -q own -o own").status == 0);
    CHECK(!says(run_shown(scratch.path(), "paleproof check -q own"), "Left out"));
}

TEST_CASE("an edition in the place of its own sources is refused before any work") {
    const Scratch scratch("own-sources");
    copy_face("waiting-jar.png", scratch / "game/faces/jar.png");
    refuses(scratch, "make game/faces -o game",
            "game/faces/jar.png: the edition would take the place of this file; choose another");
    scratch.write("game/ink.csv", "face\nfaces/jar.png\n");
    refuses(scratch, "make game/ink.csv -o game", "game/ink.csv: the edition would take the place");
    // A face that was surveyed leaves its trace in the cache.
    CHECK_FALSE(fs::exists(scratch / "game/.paleproof-cache"));
}

TEST_CASE("names with line breaks leave the summary its lines") {
    const Scratch scratch("breaks");
    copy_face("waiting-jar.png", scratch / "my\ndeck/jar.png");
    scratch.write("my\ndeck/art\n2.webp", "RIFF");
    const auto checked = run_shown(scratch.path(), "paleproof check -q my*deck");
    CHECK(
        checked.output.starts_with("Deck       my deck: 1 face, 1 card\nLeft out   art 2.webp: "));
    CHECK(says(run_shown(scratch.path(), "paleproof check -q my*deck --title 'Night\nOrchard'"),
               "Deck       Night Orchard: 1 face, 1 card\n"));
}

TEST_CASE("an empty text on the command line takes back what the job file has, as =false does") {
    const Scratch scratch("taken-back");
    copy_face("waiting-jar.png", scratch / "deck/jar.png");
    scratch.write("deck.toml",
                  "[deck]\nfaces = \"deck\"\ntitle = \"Night Orchard\"\n[legible]\nread = true\n"
                  "read_language = \"none\"\n");
    CHECK(says(run_shown(scratch.path(), "paleproof check -q deck.toml --read=false --title ''"),
               "Deck       deck: 1 face, 1 card\n"));
    refuses(scratch, "check deck.toml", "expected an installed OCR language");
}

TEST_CASE("every file that cannot be read is told with its reason") {
    const Scratch scratch("unread");
    copy_face("waiting-jar.png", scratch / "deck/jar.png");
    scratch.write("deck/empty.png", "");
    scratch.write("deck/page.png", "%PDF-1.7\n");
    fs::create_symlink("nowhere.png", scratch / "deck/link.png");
    const auto made = run_shown(scratch.path(), "paleproof make -q deck --papers a4");
    CHECK(made.status == 2);
    CHECK(says(made, "Deck       deck: 4 faces (3 not readable), 4 cards"));
    CHECK(says(made,
               "face-unreadable, 3 on 3 faces; first: empty: empty.png: expected a PNG "
               "or JPEG file, found an empty file"));
    CHECK(says(made,
               "\n         link: link.png: expected a picture, found a link that leads "
               "nowhere\n"));
    CHECK(says(made, "\n         page: page.png: expected a PNG or JPEG file, found a PDF file"));
    CHECK(says(made, "Next       mend 3 files that could not be read"));
    // Where the deck lies is no part of the report.
    CHECK(read_text(scratch / "deck-edition/report.json") == [&] {
        (void)run_shown(scratch.path(), "paleproof make -q '" + scratch.path().string() +
                                            "/deck' -o away --papers a4");
        return read_text(scratch / "away/report.json");
    }());
}

TEST_CASE("a list without copies makes proofs, and says why there are no sheets") {
    const Scratch scratch("no-copies");
    copy_face("waiting-jar.png", scratch / "jar.png");
    scratch.write("list.csv", "face,copies\njar.png,0\n");
    const auto made = run_shown(scratch.path(), "paleproof make -q list.csv -o out");
    CHECK(says(made, "open out/report.html; no card has copies, so there are no sheets\n"));
    CHECK(fs::exists(scratch / "out/faces/jar.png"));
}

TEST_CASE("faces of several sizes are named, and a job file leaves their size open") {
    const Scratch scratch("sizes");
    for (const char* name : {"lampwing.png", "waiting-jar.png", "back-orchard.png"}) {
        copy_face(name, scratch / "deck" / name);
    }
    REQUIRE(run_shown(scratch.path(), "paleproof job deck -o same.toml").status == 0);
    const std::string same = read_text(scratch / "same.toml");
    CHECK(same.find("# guessed: all faces are poker (63.5 x 88.9 mm)\nsize = \"63.5x88.9mm\"") !=
          std::string::npos);
    CHECK(same.find("# guessed from the name of the file\nback = \"back-orchard\"") !=
          std::string::npos);
    CHECK(same.find("# values: true | false\nread = false") != std::string::npos);
    CHECK(same.find("\n[run]\n") != std::string::npos);

    REQUIRE(run_command("convert " + quoted((scratch / "deck/waiting-jar.png").string()) +
                        " -resize 827x1417! -density 300 -units PixelsPerInch " +
                        quoted((scratch / "deck/tarot.png").string()))
                .status == 0);
    const auto checked = run_shown(scratch.path(), "paleproof check -q deck");
    CHECK(says(checked, "\n           1 face (tarot): size tarot (70.0 x 120.0 mm)"));
    REQUIRE(run_shown(scratch.path(), "paleproof job deck -o mixed.toml").status == 0);
    const std::string mixed = read_text(scratch / "mixed.toml");
    CHECK(mixed.find("left open, as the faces differ: 3 of poker") != std::string::npos);
    CHECK(mixed.find("\n# size =\n") != std::string::npos);
}

TEST_CASE("a job file can name its edition, and compare with the one before it") {
    const Scratch scratch("job-run");
    copy_face("lampwing.png", scratch / "deck/lampwing.png");
    copy_face("waiting-jar.png", scratch / "deck/jar.png");
    scratch.write("deck.toml",
                  "[deck]\nfaces = \"deck\"\n[run]\nout = \"mine\"\nchanged_since = \"mine\"\n"
                  "threads = 1\n[sheets]\npapers = [\"a4\"]\n");
    // The first time there is nothing to compare with.
    const auto first = run_shown(scratch.path(), "paleproof make -q deck.toml");
    CHECK(says(first, "Made       mine"));
    CHECK(!fs::exists(scratch / "mine/changes.json"));
    fs::copy_file(fs::path(PALEPROOF_DEMO_DECK) / "ashveil.png", scratch / "deck/jar.png",
                  fs::copy_options::overwrite_existing);
    const auto second = run_shown(scratch.path(), "paleproof make -q deck.toml");
    CHECK(says(second, "1 changed, 0 added, 0 removed, 1 unchanged"));
    CHECK(fs::exists(scratch / "mine/changed-a4.pdf"));
    const std::string page = read_text(scratch / "mine/report.html");
    CHECK(page.find("1 changed, 0 added, 0 removed, 1 unchanged.") != std::string::npos);
    CHECK(page.find("changed-a4.pdf") != std::string::npos);
    // Where things lie is no part of an edition.
    CHECK(read_text(scratch / "mine/edition.json").find("run.") == std::string::npos);

    scratch.write("lost.toml", "[deck]\nfaces = \"nowhere\"\n");
    refuses(scratch, "make lost.toml", "lost.toml: deck.faces: expected a folder of faces");
}

TEST_CASE("made again without a comparison, the cards that changed are named all the same") {
    const Scratch scratch("again");
    copy_face("lampwing.png", scratch / "deck/lampwing.png");
    copy_face("waiting-jar.png", scratch / "deck/jar.png");
    REQUIRE(run_shown(scratch.path(), "paleproof make -q deck --papers a4").status != 2);
    CHECK(!says(run_shown(scratch.path(), "paleproof make -q deck --papers a4"), "Changed"));
    fs::copy_file(fs::path(PALEPROOF_DEMO_DECK) / "ashveil.png", scratch / "deck/jar.png",
                  fs::copy_options::overwrite_existing);
    CHECK(says(run_shown(scratch.path(), "paleproof make -q deck --papers a4"),
               "Changed    1 card since the edition that was there: jar\n"));
}
