// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Runs that are killed: at moments all over the run, and in the few milliseconds in which the new
// files take the places of the old ones. These are hit on purpose: the test is woken by the rename
// that seals the new edition.
#include <doctest/doctest.h>
#include <fcntl.h>
#include <poll.h>
#include <sched.h>
#include <spawn.h>
#include <sys/file.h>
#include <sys/inotify.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <csignal>
#include <fstream>
#include <string>
#include <thread>
#include <vector>

#include "cli/tool.h"

using namespace paleproof::test;
namespace fs = std::filesystem;

namespace {

using Edition = std::map<std::string, std::string>;

bool fine(const CommandResult& made) { return made.status == 0 || made.status == 3; }

/// The files of an edition without what a killed run has staged, and without the cache.
Edition edition_of(const fs::path& folder) {
    Edition content = content_of(folder);
    std::erase_if(content, [](const auto& file) { return file.first.starts_with(".paleproof-"); });
    return content;
}

/// A deck, its edition in color with the cache of that run, and what its edition in gray is to be.
struct Decks {
    explicit Decks(const Scratch& scratch) : folder(scratch.path()) {
        REQUIRE(fine(run_command(run("gray", "gray"))));
        REQUIRE(fine(run_command(run("color", "color"))));
        fresh = edition_of(folder / "gray");
        old = edition_of(folder / "color");
        REQUIRE((fresh != old));
    }

    [[nodiscard]] std::vector<std::string> arguments(const std::string& out,
                                                     const std::string& style) const {
        return {PALEPROOF_BINARY,
                "-q",
                "make",
                (folder / "cards").string(),
                "-o",
                (folder / out).string(),
                "--style",
                style,
                "--papers",
                "a4",
                "--threads",
                "1"};
    }
    [[nodiscard]] std::string run(const std::string& out, const std::string& style) const {
        std::string line;
        for (const std::string& word : arguments(out, style)) line += quoted(word) + " ";
        return line;
    }
    /// The edition in color once more, in `out`.
    void renew_old() const {
        fs::remove_all(folder / "out");
        fs::copy(folder / "color", folder / "out", fs::copy_options::recursive);
    }

    fs::path folder;
    Edition old;
    Edition fresh;
};

pid_t started(const std::vector<std::string>& words) {
    std::vector<char*> argv;
    for (const std::string& word : words) argv.push_back(const_cast<char*>(word.c_str()));
    argv.push_back(nullptr);
    posix_spawn_file_actions_t silent;
    posix_spawn_file_actions_init(&silent);
    posix_spawn_file_actions_addopen(&silent, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    pid_t pid = 0;
    REQUIRE(posix_spawn(&pid, words[0].c_str(), &silent, nullptr, argv.data(), environ) == 0);
    posix_spawn_file_actions_destroy(&silent);
    return pid;
}

/// Tells when something in a folder gets the name of a sealed edition.
class SealWatch {
  public:
    explicit SealWatch(const fs::path& folder) : fd_(inotify_init1(IN_CLOEXEC)) {
        REQUIRE(inotify_add_watch(fd_, folder.c_str(), IN_MOVED_TO) >= 0);
    }
    ~SealWatch() { close(fd_); }
    SealWatch(const SealWatch&) = delete;
    SealWatch& operator=(const SealWatch&) = delete;

    [[nodiscard]] bool wait(std::chrono::seconds most) const {
        const auto until = std::chrono::steady_clock::now() + most;
        alignas(inotify_event) std::array<char, 4096> buffer{};
        while (std::chrono::steady_clock::now() < until) {
            pollfd waiting{fd_, POLLIN, 0};
            if (poll(&waiting, 1, 1000) <= 0) continue;
            const ssize_t count = read(fd_, buffer.data(), buffer.size());
            if (std::string_view(buffer.data(),
                                 static_cast<std::size_t>(std::max<ssize_t>(count, 0)))
                    .find(".paleproof-sealed") != std::string_view::npos)
                return true;
        }
        return false;
    }

  private:
    int fd_;
};

/// Processes that `pid` started and that are still there.
std::vector<pid_t> children_of(pid_t pid) {
    const std::string id = std::to_string(pid);
    std::ifstream stream("/proc/" + id + "/task/" + id + "/children");
    std::vector<pid_t> children;
    for (pid_t child = 0; stream >> child;) children.push_back(child);
    return children;
}

/// Waits until nobody holds the folder.
bool released(const fs::path& folder) {
    const int fd = open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    bool free = false;
    for (int i = 0; i < 2000 && !free; ++i) {
        free = flock(fd, LOCK_EX | LOCK_NB) == 0;
        if (!free) std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
    close(fd);
    return free;
}

/// A face that is quickly made; many of them give many files to put in place.
void put_small_faces(const Scratch& scratch, int count) {
    const fs::path cards = scratch / "cards";
    fs::create_directories(cards);
    REQUIRE(run_command("convert " + quoted(std::string(PALEPROOF_DEMO_DECK) + "/still-pond.png") +
                        " -resize 60x84! " + quoted((cards / "0.png").string()))
                .status == 0);
    for (int i = 1; i < count; ++i)
        fs::copy_file(cards / "0.png", cards / (std::to_string(i) + ".png"));
}

}  // namespace

TEST_CASE("killed at 40 moments of the run, the old edition is whole or the new one is") {
    const Scratch scratch("killed");
    fs::create_directories(scratch / "cards");
    for (const char* name : {"a.png", "b.png"})
        fs::copy_file(fs::path(PALEPROOF_DEMO_DECK) / "still-pond.png", scratch / "cards" / name);
    const Decks decks(scratch);
    int stayed = 0;
    decks.renew_old();
    for (int moment = 1; moment <= 40; ++moment) {
        CAPTURE(moment);
        const pid_t run = started(decks.arguments("out", "gray"));
        std::this_thread::sleep_for(std::chrono::milliseconds(20 * moment));
        kill(run, SIGKILL);
        waitpid(run, nullptr, 0);
        REQUIRE(released(decks.folder / "out"));
        const Edition seen = edition_of(decks.folder / "out");
        CHECK((seen == decks.old || seen == decks.fresh));
        stayed += seen == decks.old ? 1 : 0;
        if (seen != decks.old) decks.renew_old();
    }
    CHECK(stayed > 0);
    REQUIRE(fine(run_command(decks.run("out", "gray"))));
    CHECK((edition_of(decks.folder / "out") == decks.fresh));
    CHECK_FALSE(fs::exists(decks.folder / "out/.paleproof-new"));
}

TEST_CASE("killed while the files take their places, the new edition is whole") {
    const Scratch scratch("killed-in-place");
    put_small_faces(scratch, 40);
    const Decks decks(scratch);
    int within = 0;
    for (int attempt = 0; attempt < 10; ++attempt) {
        CAPTURE(attempt);
        decks.renew_old();
        scratch.write("out/notes.txt", "mine");
        const SealWatch watch(decks.folder / "out");
        const pid_t run = started(decks.arguments("out", "gray"));
        REQUIRE(watch.wait(std::chrono::seconds(300)));
        std::this_thread::sleep_for(std::chrono::microseconds(100 * attempt));
        kill(run, SIGKILL);
        int status = 0;
        waitpid(run, &status, 0);
        within += WIFSIGNALED(status) ? 1 : 0;
        REQUIRE(released(decks.folder / "out"));
        Edition seen = edition_of(decks.folder / "out");
        // Killed before its process of placing had begun, it leaves that to the next run.
        if (fs::exists(decks.folder / "out/.paleproof-sealed")) {
            seen.erase("notes.txt");
            CHECK((seen == decks.old));
            REQUIRE(run_command(quoted(PALEPROOF_BINARY) + " -q sheets " +
                                quoted((decks.folder / "out").string()))
                        .status == 0);
            seen = edition_of(decks.folder / "out");
        }
        CHECK(seen["notes.txt"] == "mine");
        seen.erase("notes.txt");
        CHECK((seen == decks.fresh));
    }
    CHECK(within > 0);
}

TEST_CASE("killed with the process that puts the files in place, the next run finishes its work") {
    const Scratch scratch("killed-both");
    put_small_faces(scratch, 40);
    const Decks decks(scratch);
    int halfway = 0;
    for (int attempt = 0; attempt < 20 && halfway < 3; ++attempt) {
        CAPTURE(attempt);
        decks.renew_old();
        const SealWatch watch(decks.folder / "out");
        const pid_t run = started(decks.arguments("out", "gray"));
        REQUIRE(watch.wait(std::chrono::seconds(300)));
        // Stopped before it starts that process, which then inherits that all others go first:
        // there is time to see the first file go.
        kill(run, SIGSTOP);
        const sched_param none{};
        sched_setscheduler(run, SCHED_IDLE, &none);
        kill(run, SIGCONT);
        const fs::path first = decks.folder / "out/.paleproof-sealed/faces/0.png";
        const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(5);
        while (access(first.c_str(), F_OK) == 0 && std::chrono::steady_clock::now() < until) {
        }
        const std::vector<pid_t> placing = children_of(run);
        kill(run, SIGKILL);
        for (const pid_t child : placing) kill(child, SIGKILL);
        waitpid(run, nullptr, 0);
        REQUIRE(released(decks.folder / "out"));
        const Edition seen = edition_of(decks.folder / "out");
        if (fs::exists(decks.folder / "out/.paleproof-sealed") && seen != decks.old) ++halfway;
        // A run that reads the edition finds the new one.
        REQUIRE(run_command(quoted(PALEPROOF_BINARY) + " -q sheets " +
                            quoted((decks.folder / "out").string()))
                    .status == 0);
        CHECK((edition_of(decks.folder / "out") == decks.fresh));
        CHECK_FALSE(fs::exists(decks.folder / "out/.paleproof-sealed"));
    }
    // How many are hit is up to the machine's load; each state that such a kill can leave is made
    // by hand in tests/unit/app/edition_switch_test.cpp.
    MESSAGE(halfway, " runs were hit with some files in place and some not");
}
