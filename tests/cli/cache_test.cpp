// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Editions made again in the folder of an earlier one are, byte for byte, those of a clean run.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <string>

#include "cli/tool.h"
#include "codec/pack.h"
#include "codec/read_face.h"

using namespace paleproof;
using namespace paleproof::test;

namespace {

namespace fs = std::filesystem;

/// Three faces of the demo deck, made into `out` with the options.
struct CachedDeck {
    Scratch scratch;
    fs::path cards = scratch / "cards";
    fs::path out = scratch / "out";

    explicit CachedDeck(const std::string& name) : scratch(name) {
        put("lampwing.png", "a.png");
        put("harvest-moon.jpg", "b.jpg");
        put("bud-and-briar.png", "c.png");
    }
    void put(const char* face, const char* as) const {
        fs::create_directories(cards);
        fs::copy_file(fs::path(PALEPROOF_DEMO_DECK) / face, cards / as,
                      fs::copy_options::overwrite_existing);
    }
    [[nodiscard]] CommandResult make(const std::string& options = "",
                                     const fs::path& into = {}) const {
        const CommandResult made =
            run_tool("make " + quoted(cards.string()) + " -o " +
                     quoted((into.empty() ? out : into).string()) + " " + options);
        INFO(made.output);
        CHECK((made.status == 0 || made.status == 3));
        return made;
    }
    /// The edition is that of a run into an empty folder.
    void check_clean(const std::string& options = "") const {
        const fs::path clean = scratch / "clean";
        fs::remove_all(clean);
        (void)make(options, clean);
        const auto expected = content_of(clean);
        const auto found = content_of(out);
        CHECK(expected.size() == found.size());
        for (const auto& [a_name, content] : expected) {
            const auto& name = a_name;  // clang 14 captures no bindings
            CAPTURE(name);
            CHECK(found.contains(name));
            if (found.contains(name)) CHECK(found.at(name) == content);
        }
    }
};

int reused(const CommandResult& made) {
    const std::string word = "Reused     ";
    const auto at = made.output.find(word);
    return at == std::string::npos ? 0 : std::stoi(made.output.substr(at + word.size()));
}

}  // namespace

TEST_CASE("made again, an edition takes over what did not change and is the same as a clean one") {
    // Line proofs depend on their own face alone; gray ones also on the gray map of the deck.
    const CachedDeck deck("cache-again");
    CHECK(reused(deck.make("--style line")) == 0);
    CHECK(reused(deck.make("--style line")) == 3);
    deck.check_clean("--style line");

    SUBCASE("one face changed") {
        deck.put("owl-hour.png", "a.png");
        CHECK(reused(deck.make("--style line")) == 2);
        deck.check_clean("--style line");
    }
    SUBCASE("a face came, and one went") {
        deck.put("owl-hour.png", "d.png");
        fs::remove(deck.cards / "b.jpg");
        CHECK(reused(deck.make("--style line")) == 2);
        deck.check_clean("--style line");
    }
    SUBCASE("with any number of threads") {
        deck.put("owl-hour.png", "a.png");
        CHECK(reused(deck.make("--style line --threads 3")) == 2);
        deck.check_clean("--style line --threads 1");
    }
    SUBCASE("files changed places") {
        fs::rename(deck.cards / "a.png", deck.cards / "x");
        fs::rename(deck.cards / "c.png", deck.cards / "a.png");
        fs::rename(deck.cards / "x", deck.cards / "c.png");
        CHECK(reused(deck.make("--style line")) == 1);
        deck.check_clean("--style line");
    }
}

TEST_CASE("gray proofs made again after one face changed are those of a clean run") {
    const CachedDeck deck("cache-gray");
    CHECK(reused(deck.make()) == 0);
    CHECK(reused(deck.make()) == 3);
    deck.put("owl-hour.png", "a.png");
    // The deck's gray map may have changed with the face, and all proofs with it.
    CHECK(reused(deck.make()) <= 2);
    deck.check_clean();
}

TEST_CASE(
    "with the grays of an earlier edition another face leaves the proofs of all others alone") {
    const CachedDeck deck("cache-since");
    (void)deck.make();
    const fs::path earlier = deck.scratch / "earlier";
    fs::copy(deck.out, earlier, fs::copy_options::recursive);
    deck.put("owl-hour.png", "a.png");
    const std::string since = "--changed-since " + quoted(earlier.string());
    SUBCASE("another face in the place of one") {
        const CommandResult made = deck.make(since);
        CHECK(reused(made) == 2);
        CHECK(made.output.find("1 changed, 0 added, 0 removed, 2 unchanged") != std::string::npos);
        CHECK(made.output.find("colors keep the grays of that edition") != std::string::npos);
        deck.check_clean(since);
    }
    SUBCASE("a suit that the grays of the earlier edition cannot tell from another") {
        // With lampwing's pennant in the place of owl-hour's, of the same lightness.
        deck.put("lampwing.png", "d.png");
        const CommandResult made = deck.make(since);
        CHECK(made.output.find("keep the grays") == std::string::npos);
        deck.check_clean(since);
    }
    SUBCASE("a pin asks for other grays") {
        const CommandResult made = deck.make(since + " --pins '#b03030=0.25'");
        CHECK(made.output.find("keep the grays") == std::string::npos);
    }
    SUBCASE("an edition of another style has none") {
        (void)deck.make("--style line", earlier);
        CHECK(deck.make(since).output.find("keep the grays") == std::string::npos);
    }
}

TEST_CASE("other words on a face leave the gray of the deck and the proofs of the others alone") {
    const CachedDeck deck("cache-words");
    CHECK(reused(deck.make()) == 0);
    // Two lines of the rules change places.
    const fs::path file = deck.cards / "a.png";
    Image image = codec::read_face(file, {}).face.image;
    const int first = image.height() * 745 / 1000, second = image.height() * 805 / 1000;
    for (int y = 0; y < image.height() * 35 / 1000; ++y) {
        std::swap_ranges(image.row(first + y), image.row(first + y) + image.stride(),
                         image.row(second + y));
    }
    image.set_ppi(Ppi{300.0});
    codec::write_png(file, codec::packed(image));
    CHECK(reused(deck.make()) == 2);
    deck.check_clean();
}

TEST_CASE("options that change proofs have them made again; those of sheets do not") {
    const CachedDeck deck("cache-options");
    CHECK(reused(deck.make()) == 0);
    for (const std::string options :
         {"--ink-budget 8%", "--bleed 2mm", "--style line", "--style tint", "--style hatch",
          "--separation coated", "--min-contrast 7", "--style color"}) {
        CAPTURE(options);
        CHECK(reused(deck.make(options)) == 0);
        deck.check_clean(options);
    }
    CHECK(reused(deck.make()) == 0);
    CHECK(reused(deck.make("--papers a3 --gutter 4mm --title Other")) == 3);
    deck.check_clean("--papers a3 --gutter 4mm --title Other");
}

TEST_CASE(
    "a plan that the whole deck decides is part of a proof: a new face can change the others'") {
    const CachedDeck deck("cache-deck-plan");
    CHECK(reused(deck.make("--style hatch")) == 0);
    CHECK(reused(deck.make("--style hatch")) == 3);
    // Another color that carries meaning: patterns are given out again over the whole deck.
    deck.put("thornback-hawk.png", "d.png");
    deck.put("rosy-underleaf.jpg", "e.jpg");
    deck.put("wool-thief.png", "f.png");
    CHECK(reused(deck.make("--style hatch")) <= 3);
    deck.check_clean("--style hatch");
}

TEST_CASE("a damaged cache or a proof that someone changed is made anew") {
    const CachedDeck deck("cache-damage");
    CHECK(reused(deck.make()) == 0);
    SUBCASE("a byte of every entry") {
        for (const auto& entry : fs::directory_iterator(deck.out / ".paleproof-cache")) {
            std::string content = read_text(entry.path());
            content[content.size() / 2] = static_cast<char>(content[content.size() / 2] ^ 1);
            std::ofstream(entry.path(), std::ios::binary) << content;
        }
        CHECK(reused(deck.make()) == 0);
    }
    SUBCASE("entries cut short or empty") {
        bool cut = false;
        for (const auto& entry : fs::directory_iterator(deck.out / ".paleproof-cache")) {
            cut = !cut;
            fs::resize_file(entry.path(), cut ? 40 : 0);
        }
        CHECK(reused(deck.make()) == 0);
    }
    SUBCASE("the proofs") {
        fs::copy_file(deck.out / "faces/a.png", deck.out / "faces/c.png",
                      fs::copy_options::overwrite_existing);
        fs::remove(deck.out / "faces/b.png");
        CHECK(reused(deck.make()) == 1);
    }
    SUBCASE("no cache any more") {
        fs::remove_all(deck.out / ".paleproof-cache");
        CHECK(reused(deck.make()) == 0);
    }
    deck.check_clean();
}
