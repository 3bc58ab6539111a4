// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/source.h"

#include <doctest/doctest.h>

#include "core/error.h"
#include "support/scratch.h"

using namespace paleproof;
using test::Scratch;

TEST_CASE("a folder's faces come in natural order, pictures only") {
    const Scratch scratch("folder");
    for (const char* name : {"card 10.png", "card 2.PNG", "card 1.jpeg", "notes.txt", ".hidden.png",
                             "a.JPG", "card 02b.png", "sub/inner.png"}) {
        scratch.write(name, "");
    }
    const Deck deck = app::deck_of_folder(scratch.path());
    std::vector<std::string> names;
    for (const DeckFace& face : deck.faces) names.push_back(face.name);
    CHECK(names == std::vector<std::string>{"a", "card 1", "card 2", "card 02b", "card 10"});
}

TEST_CASE(
    "a source is a folder, a list or a job file, anything else is refused with what would do") {
    const Scratch scratch("kinds");
    scratch.write("cards/a.png", "");
    app::Job job;
    app::open_source(scratch / "cards", job);
    CHECK(job.faces == scratch / "cards");
    CHECK(app::read_deck(job).title == "cards");
    app::open_source(scratch / "cards/", job);
    CHECK(app::read_deck(job).title == "cards");
    app::open_source(scratch.write("orchard.csv", "face\na.png\n"), job);
    CHECK(app::read_deck(job).title == "orchard");
    app::open_source(scratch.write("night orchard/deck.csv", "face\na.png\n"), job);
    CHECK(app::read_deck(job).title == "night orchard");
    app::open_source(scratch.write("j.toml", "[deck]\nfaces = \"cards\"\ntitle = \"T\"\n"), job);
    CHECK(app::read_deck(job).title == "T");
    CHECK_THROWS_AS(app::open_source(scratch / "nothing", job), Error);
    CHECK_THROWS_AS(app::open_source(scratch.write("a.png", ""), job), Error);
    CHECK_THROWS_AS((void)app::deck_of_folder(scratch / "empty"), Error);
}
