// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/watch.h"

#include <doctest/doctest.h>

#include <fstream>
#include <thread>

#include "support/scratch.h"

using namespace paleproof;
using app::FileState;
namespace fs = std::filesystem;

namespace {

void write(const fs::path& file, const std::string& bytes) {
    std::ofstream(file, std::ios::binary) << bytes;
}

const std::string png_start("\x89PNG\r\n\x1a\n and chunks", 19);
// The IEND chunk as ISO/IEC 15948 has it: no data, CRC AE426082.
const std::string png_end("\0\0\0\0IEND\xae\x42\x60\x82", 12);

}  // namespace

TEST_CASE("a picture has its end when IEND or EOI is there") {
    const test::Scratch scratch("watch-end");
    const fs::path png = scratch / "a.png";
    write(png, "");
    CHECK(!app::has_its_end(png));
    write(png, png_start);
    CHECK(!app::has_its_end(png));
    write(png, png_start + png_end);
    CHECK(app::has_its_end(png));
    // What counts is what the file is, not what it is called.
    write(png, "\xff\xd8\xff\xe0 rows");
    CHECK(!app::has_its_end(png));
    write(png, "\xff\xd8\xff\xe0 rows\xff\xd9");
    CHECK(app::has_its_end(png));
    write(scratch / "deck.csv", "fa");
    CHECK(app::has_its_end(scratch / "deck.csv"));
    CHECK(app::has_its_end(scratch / "gone.png"));
}

TEST_CASE("two looks tell what was changed, added and removed") {
    const fs::file_time_type early{};
    const app::FileStates before{{"a", {1, early}}, {"b", {2, early}}, {"c", {3, early}}};
    const app::FileStates now{
        {"a", {1, early}}, {"b", {2, early + std::chrono::seconds(1)}}, {"d", {3, early}}};
    CHECK(app::changed_files(before, now) == std::vector<fs::path>{"b", "c", "d"});
    CHECK(app::changed_files(now, now).empty());
}

TEST_CASE("a look sees the pictures of a folder, a list with its faces, a job with both") {
    const test::Scratch scratch("watch-look");
    fs::create_directories(scratch / "faces");
    write(scratch / "faces/a.png", png_start);
    write(scratch / "faces/b.JPG", "x");
    write(scratch / "faces/notes.txt", "x");
    CHECK(app::look_at(scratch / "faces").size() == 2);
    write(scratch / "deck.csv", "face,back\nfaces/a.png,faces/b.JPG\n");
    CHECK(app::look_at(scratch / "deck.csv").size() == 3);
    write(scratch / "deck.toml", "[deck]\nfaces = \"deck.csv\"\n");
    CHECK(app::look_at(scratch / "deck.toml").size() == 4);
    // Half a list: the list itself is still looked at.
    write(scratch / "deck.csv", "fac");
    CHECK(app::look_at(scratch / "deck.csv").size() == 1);
    CHECK(app::look_at(scratch / "nothing").empty());
}

TEST_CASE("what is half written is waited for, and a stop ends the waiting") {
    const test::Scratch scratch("watch-wait");
    write(scratch / "a.png", png_start + png_end);
    const app::FileStates made = app::look_at(scratch.path());
    std::stop_source stop;
    std::jthread writer([&] {
        std::this_thread::sleep_for(std::chrono::milliseconds(100));
        write(scratch / "a.png", png_start);
        std::this_thread::sleep_for(std::chrono::milliseconds(400));
        write(scratch / "a.png", png_start + "more" + png_end);
    });
    const app::FileStates now = app::wait_for_change(scratch.path(), made, stop.get_token());
    CHECK(now.at(scratch / "a.png").bytes == png_start.size() + 4 + png_end.size());
    writer.join();

    std::jthread stopper([&] {
        std::this_thread::sleep_for(std::chrono::milliseconds(100));
        stop.request_stop();
    });
    CHECK(app::wait_for_change(scratch.path(), now, stop.get_token()) == now);
}
