// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/output_folder.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <fstream>
#include <optional>
#include <system_error>
#include <thread>
#include <utility>

#include "app/edition_switch.h"
#include "core/error.h"

namespace paleproof::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* record_name = "edition.json";

/// A run that was killed may still be putting its files in place: that takes milliseconds.
constexpr auto patience = std::chrono::seconds(1);
constexpr auto look_every = std::chrono::milliseconds(5);

/// False when another run holds the folder. Where there are no locks, nobody holds it.
bool locked(int folder) {
    const auto until = std::chrono::steady_clock::now() + patience;
    while (flock(folder, LOCK_EX | LOCK_NB) != 0) {
        if (errno != EWOULDBLOCK) return true;
        if (std::chrono::steady_clock::now() >= until) return false;
        std::this_thread::sleep_for(look_every);
    }
    return true;
}

/// What tells whether two names are one file.
using Identity = std::pair<dev_t, ino_t>;

std::optional<Identity> identity(const fs::path& file) {
    struct stat facts {};
    if (stat(file.c_str(), &facts) != 0) return std::nullopt;
    return Identity(facts.st_dev, facts.st_ino);
}

std::set<Identity> identities(std::span<const fs::path> files) {
    std::set<Identity> known;
    for (const fs::path& file : files) {
        if (const auto found = identity(file)) known.insert(*found);
    }
    return known;
}

bool is_one_of(const std::set<Identity>& known, const fs::path& file) {
    const auto found = identity(file);
    return found && known.contains(*found);
}

}  // namespace

OutputFolder::OutputFolder(fs::path folder)
    : folder_(std::move(folder)), staging_(folder_ / ".paleproof-new") {
    std::error_code fault;
    if (fs::exists(folder_, fault) && !fs::is_directory(folder_, fault)) {
        throw Error(ErrorKind::file, folder_.string(),
                    "expected a folder for the edition, found a file");
    }
    fs::create_directories(folder_, fault);
    // The lock lies on the folder itself and goes with the process, however that ends.
    held_ = open(folder_.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (held_ >= 0 && !locked(held_)) {
        close(held_);
        throw Error(ErrorKind::file, folder_.string(),
                    "another run is writing into this folder; wait for it, or choose another "
                    "folder with -o");
    }
    try {
        put_in_place(folder_);  // what a run that was stopped had sealed
    } catch (...) {
        if (held_ >= 0) close(held_);
        throw;
    }
    // What a run that was killed earlier has left there is of no use.
    fs::remove_all(staging_, fault);
    fs::create_directories(staging_ / "faces", fault);
    if (fault) {
        if (held_ >= 0) close(held_);
        throw Error(ErrorKind::file, folder_.string(),
                    "expected a folder that can be written: " + fault.message());
    }
}

OutputFolder::~OutputFolder() {
    std::error_code ignored;
    fs::remove_all(staging_, ignored);
    if (held_ >= 0) close(held_);
}

void OutputFolder::protect(const fs::path& file) { users_files_.push_back(file); }

void OutputFolder::refuse_users_files(std::span<const std::string> names) const {
    const std::set<Identity> users = identities(users_files_);
    for (const std::string& name : names) {
        if (is_one_of(users, folder_ / name)) {
            throw Error(ErrorKind::file, (folder_ / name).string(),
                        "the edition would take the place of this file; choose another folder "
                        "with -o");
        }
    }
}

fs::path OutputFolder::staged(const std::string& name) {
    const std::scoped_lock lock(guard_);
    names_.insert(name);
    fs::path path = staging_ / name;
    std::error_code fault;  // told when the file is written
    fs::create_directories(path.parent_path(), fault);
    return path;
}

void OutputFolder::write(const std::string& name, std::string_view content) {
    const fs::path path = staged(name);
    // What is there may be a second name of the old edition's file, which is not to change.
    std::error_code none;
    fs::remove(path, none);
    std::ofstream stream(path, std::ios::binary | std::ios::trunc);
    stream.write(content.data(), static_cast<std::streamsize>(content.size()));
    stream.close();
    if (!stream) {
        throw Error(ErrorKind::file, name,
                    "could not be written to " + folder_.string() + "; is the disk full?");
    }
    begin_flush(name);
}

void OutputFolder::begin_flush(const std::string& name) const {
#ifdef __linux__
    const int file = open((staging_ / name).c_str(), O_RDONLY | O_CLOEXEC);
    if (file < 0) return;
    (void)sync_file_range(file, 0, 0, SYNC_FILE_RANGE_WRITE);
    close(file);
#endif
}

void OutputFolder::write(const std::string& name, std::span<const std::uint8_t> content) {
    write(name, std::string_view(reinterpret_cast<const char*>(content.data()), content.size()));
}

std::vector<std::string> OutputFolder::names() const { return {names_.begin(), names_.end()}; }

void OutputFolder::commit(const std::vector<std::string>& outdated) {
    const std::vector<std::string> staged = names();
    refuse_users_files(staged);
    const std::set<Identity> users = identities(users_files_);
    SwitchList list{.put = staged, .remove = {}};
    std::stable_partition(list.put.begin(), list.put.end(),
                          [](const std::string& name) { return name != record_name; });
    for (const std::string& name : outdated) {
        const bool again = std::ranges::binary_search(staged, name);
        if (stays_inside(name) && !again && !is_one_of(users, folder_ / name))
            list.remove.push_back(name);
    }
    if (held_ >= 0 && syncfs(held_) != 0) {
        throw Error(ErrorKind::file, folder_.string(),
                    "could not be flushed to the disk: " + std::generic_category().message(errno));
    }
    seal(folder_, staging_, list);
    put_in_place(folder_);
}

}  // namespace paleproof::app
