// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/atomic_file.h"

#include <doctest/doctest.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include <csignal>
#include <filesystem>
#include <string>
#include <thread>
#include <vector>

#include "core/error.h"
#include "unit/codec/scratch.h"

using namespace paleproof;
namespace fs = std::filesystem;
using Bytes = std::vector<std::uint8_t>;

namespace {

std::size_t entries(const fs::path& folder) {
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

std::string text_of(const fs::path& file) {
    const Bytes bytes = test::file_content(file);
    return {bytes.begin(), bytes.end()};
}

/// No file of this process may grow past `bytes`, as on a full disk.
class FullDisk {
  public:
    explicit FullDisk(rlim_t bytes) {
        getrlimit(RLIMIT_FSIZE, &old_);
        const rlimit limit{bytes, old_.rlim_max};
        setrlimit(RLIMIT_FSIZE, &limit);
        handler_ = std::signal(SIGXFSZ, SIG_IGN);
    }
    FullDisk(const FullDisk&) = delete;
    FullDisk& operator=(const FullDisk&) = delete;
    ~FullDisk() {
        setrlimit(RLIMIT_FSIZE, &old_);
        std::signal(SIGXFSZ, handler_);
    }

  private:
    rlimit old_{};
    void (*handler_)(int) = nullptr;
};

}  // namespace

TEST_CASE("a file is written whole, and nothing else is left in its folder") {
    test::Scratch scratch("whole");
    codec::write_file(scratch.file("a.txt"), "first");
    CHECK(text_of(scratch.file("a.txt")) == "first");
    codec::write_file(scratch.file("a.txt"), Bytes{'n', 'e', 'w'});
    CHECK(text_of(scratch.file("a.txt")) == "new");
    codec::write_file(scratch.file("a.txt"), "");
    CHECK(text_of(scratch.file("a.txt")).empty());
    CHECK(entries(scratch.folder()) == 1);
}

TEST_CASE("names with blanks, quotes, line ends and great length are names") {
    test::Scratch scratch("names");
    for (const std::string& name :
         {std::string("a b"), std::string("it's \"x\""), std::string("two\nlines"),
          std::string("\xC3\xA4.png"), std::string(255, 'n')}) {
        codec::write_file(scratch.file(name), name);
        CHECK(text_of(scratch.file(name)) == name);
    }
    CHECK(entries(scratch.folder()) == 5);
}

TEST_CASE("a full disk leaves the old file and no part of the new one") {
    test::Scratch scratch("full");
    codec::write_file(scratch.file("a.txt"), "old");
    {
        const FullDisk full(1000);
        CHECK_THROWS_AS(codec::write_file(scratch.file("a.txt"), Bytes(5000)), Error);
        CHECK_THROWS_AS(codec::write_file(scratch.file("b.txt"), Bytes(5000)), Error);
    }
    CHECK(text_of(scratch.file("a.txt")) == "old");
    CHECK(entries(scratch.folder()) == 1);
}

TEST_CASE("what cannot be written is an error that names the file and the reason") {
    test::Scratch scratch("errors");
    try {
        codec::write_file(scratch.file("missing/a.txt"), "x");
        FAIL("expected an Error");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::file);
        CHECK(error.subject() == scratch.file("missing/a.txt").string());
        CHECK(error.detail() == "cannot be written: No such file or directory");
    }
    fs::create_directories(scratch.file("folder/inside"));
    CHECK_THROWS_AS(codec::write_file(scratch.file("folder"), "x"), Error);
    CHECK(entries(scratch.folder()) == 1);
    CHECK(fs::is_directory(scratch.file("folder/inside")));
}

TEST_CASE("a new file follows the umask, a replaced one keeps its mode") {
    test::Scratch scratch("mode");
    const mode_t old_mask = ::umask(027);
    codec::write_file(scratch.file("a"), "x");
    ::umask(old_mask);
    const auto bits = [&] {
        return static_cast<unsigned>(fs::status(scratch.file("a")).permissions());
    };
    CHECK(bits() == 0640);
    fs::permissions(scratch.file("a"), fs::perms(0604));
    codec::write_file(scratch.file("a"), "y");
    CHECK(bits() == 0604);
}

TEST_CASE("threads that write one file leave one of their versions") {
    test::Scratch scratch("race");
    const auto write = [&](char letter) {
        for (int i = 0; i < 20; ++i) {
            codec::write_file(scratch.file("a"), std::string(10000, letter));
        }
    };
    std::thread other(write, 'a');
    write('b');
    other.join();
    const std::string text = text_of(scratch.file("a"));
    CHECK((text == std::string(10000, 'a') || text == std::string(10000, 'b')));
    CHECK(entries(scratch.folder()) == 1);
}
