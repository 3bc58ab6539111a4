// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/edition_switch.h"

#include <doctest/doctest.h>
#include <sys/stat.h>

#include <map>

#include "app/edition_record.h"
#include "app/output_folder.h"
#include "core/error.h"
#include "support/scratch.h"

using namespace paleproof;
using test::read_text;
using test::Scratch;
namespace fs = std::filesystem;

namespace {

/// All files below a folder, hidden ones too.
std::map<std::string, std::string> files_in(const fs::path& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
        if (entry.is_regular_file())
            files[entry.path().lexically_relative(folder).string()] = read_text(entry.path());
    }
    return files;
}

/// An old edition with a file of the user's, and a new one that is written but not yet sealed.
app::SwitchList old_and_new(const Scratch& scratch) {
    scratch.write("faces/a.png", "old a");
    scratch.write("faces/b.png", "old b");
    scratch.write("report-pictures/1.jpg", "old picture");
    scratch.write("edition.json", "old record");
    scratch.write("notes.txt", "mine");
    scratch.write(".paleproof-new/faces/a.png", "new a");
    scratch.write(".paleproof-new/faces/c.png", "new c");
    scratch.write(".paleproof-new/edition.json", "new record");
    return {.put = {"faces/a.png", "faces/c.png", "edition.json"},
            .remove = {"faces/b.png", "report-pictures/1.jpg"}};
}

const std::map<std::string, std::string> whole_new{{"faces/a.png", "new a"},
                                                   {"faces/c.png", "new c"},
                                                   {"edition.json", "new record"},
                                                   {"notes.txt", "mine"}};

/// The message of the Error that sealing gives.
std::string refusal(const Scratch& scratch, const app::SwitchList& list) {
    const auto before = files_in(scratch.path());
    try {
        app::seal(scratch.path(), scratch / ".paleproof-new", list);
    } catch (const Error& error) {
        CHECK((files_in(scratch.path()) == before));
        CHECK(error.kind() == ErrorKind::file);
        return error.what();
    }
    FAIL("it was sealed");
    return "";
}

}  // namespace

TEST_CASE("an edition that is sealed is put in place whole, and nothing else is touched") {
    const Scratch scratch("switch");
    const app::SwitchList list = old_and_new(scratch);
    app::seal(scratch.path(), scratch / ".paleproof-new", list);
    app::put_in_place(scratch.path());
    CHECK((files_in(scratch.path()) == whole_new));
    CHECK_FALSE(fs::exists(scratch / ".paleproof-sealed"));
    CHECK_FALSE(fs::exists(scratch / "report-pictures"));
}

TEST_CASE("whatever part of a sealed edition is in place, the next run puts the rest there") {
    for (int done = 0; done <= 5; ++done) {
        CAPTURE(done);
        const Scratch scratch("half");
        const app::SwitchList list = old_and_new(scratch);
        app::seal(scratch.path(), scratch / ".paleproof-new", list);
        // The steps as put_in_place() does them, up to where it was stopped.
        for (int i = 0; i < done; ++i) {
            const auto at = static_cast<std::size_t>(i);
            if (at < list.put.size()) {
                fs::rename(scratch / ".paleproof-sealed" / list.put[at], scratch / list.put[at]);
            } else {
                fs::remove(scratch / list.remove[at - list.put.size()]);
            }
        }
        // Readers find the new files, wherever they are by now.
        for (const std::string& name : list.put) {
            CHECK(read_text(app::file_of_edition(scratch.path(), name)) == whole_new.at(name));
        }
        { const app::OutputFolder next(scratch.path()); }
        CHECK((files_in(scratch.path()) == whole_new));
    }
}

TEST_CASE("the record of a sealed edition is read before it is in place") {
    const Scratch scratch("record");
    app::EditionRecord record;
    record.title = "old";
    scratch.write("edition.json", app::record_json(record));
    record.title = "new";
    scratch.write(".paleproof-new/edition.json", app::record_json(record));
    CHECK(app::read_record(scratch.path()).title == "old");
    app::seal(scratch.path(), scratch / ".paleproof-new", {.put = {"edition.json"}, .remove = {}});
    CHECK(app::read_record(scratch.path()).title == "new");
    CHECK(app::read_record_at(scratch.path()).title == "new");
}

TEST_CASE("what is in the way of a file is found before anything is replaced") {
    const Scratch scratch("way");
    const app::SwitchList list = old_and_new(scratch);
    fs::create_directory(scratch / "faces/c.png");
    CHECK(refusal(scratch, list)
              .ends_with("could not be put in place: there is a folder of that name"));
    fs::remove_all(scratch / "faces");
    scratch.write("faces", "a file");
    CHECK(refusal(scratch, list).find("is no folder") != std::string::npos);
    fs::remove(scratch / "faces");
    // A rename does not reach another file system (POSIX.1-2017, rename(), EXDEV).
    struct stat here {
    }, there{};
    if (::stat("/dev/shm", &there) == 0 && ::stat(scratch.path().c_str(), &here) == 0 &&
        here.st_dev != there.st_dev) {
        fs::create_directory_symlink("/dev/shm", scratch / "faces");
        CHECK(refusal(scratch, list).find("lies on another disk") != std::string::npos);
    }
}

TEST_CASE("a list that was tampered with leads out of the folder no more than any other") {
    const Scratch scratch("tampered");
    const fs::path outside = scratch.write("outside.txt", "mine");
    scratch.write("out/.paleproof-sealed/.list", std::string("-../outside.txt\0+../a\0x\0", 24));
    scratch.write("out/.paleproof-sealed/a", "a");
    app::put_in_place(scratch / "out");
    CHECK(read_text(outside) == "mine");
    CHECK_FALSE(fs::exists(scratch / "a"));
    CHECK_FALSE(fs::exists(scratch / "out/.paleproof-sealed"));
}

TEST_CASE("a file of the user's is not removed, even where the old edition claims it") {
    const Scratch scratch("claimed");
    const fs::path art = scratch.write("faces/a.png", "art");
    app::OutputFolder out(scratch.path());
    out.protect(art);
    out.write("report.json", "{}");
    out.commit({"faces/a.png"});
    CHECK(read_text(art) == "art");
}
