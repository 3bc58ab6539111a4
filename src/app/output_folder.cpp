// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/output_folder.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <fstream>
#include <utility>

#include "core/error.h"

namespace paleproof::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* record_name = "edition.json";

/// A name that an edition may hold: relative, and not upwards.
bool stays_inside(const std::string& name) {
    const fs::path path = fs::path(name).lexically_normal();
    return !name.empty() && path.is_relative() && *path.begin() != "..";
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
    if (held_ >= 0 && flock(held_, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) {
        close(held_);
        throw Error(ErrorKind::file, folder_.string(),
                    "another run is writing into this folder; wait for it, or choose another "
                    "folder with -o");
    }
    // What a run that was killed has left there is of no use.
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

void OutputFolder::protect(const fs::path& file) { protected_.push_back(file); }

fs::path OutputFolder::staged(const std::string& name) {
    const std::scoped_lock lock(guard_);
    if (std::ranges::find(names_, name) == names_.end()) names_.push_back(name);
    const fs::path path = staging_ / name;
    std::error_code fault;  // told when the file is written
    fs::create_directories(path.parent_path(), fault);
    return path;
}

void OutputFolder::write(const std::string& name, std::string_view content) {
    const fs::path path = staged(name);
    std::ofstream stream(path, std::ios::binary | std::ios::trunc);
    stream.write(content.data(), static_cast<std::streamsize>(content.size()));
    stream.close();
    if (!stream) {
        throw Error(ErrorKind::file, name,
                    "could not be written to " + folder_.string() + "; is the disk full?");
    }
}

std::vector<std::string> OutputFolder::names() const {
    std::vector<std::string> sorted = names_;
    std::ranges::sort(sorted);
    return sorted;
}

void OutputFolder::commit(const std::vector<std::string>& outdated) {
    for (const std::string& name : names_) {
        for (const fs::path& file : protected_) {
            std::error_code ignored;
            if (fs::equivalent(folder_ / name, file, ignored)) {
                throw Error(ErrorKind::file, file.string(),
                            "the edition would take the place of this file; choose another folder "
                            "with -o");
            }
        }
    }
    fs::create_directories(folder_ / "faces");
    std::vector<std::string> order = names();
    std::ranges::stable_partition(order,
                                  [](const std::string& name) { return name != record_name; });
    for (const std::string& name : order) {
        std::error_code fault;
        fs::create_directories((folder_ / name).parent_path(), fault);
        fs::rename(staging_ / name, folder_ / name, fault);
        if (fault) {
            throw Error(ErrorKind::file, (folder_ / name).string(),
                        "could not be put in place: " + fault.message());
        }
    }
    for (const std::string& name : outdated) {
        if (stays_inside(name) && std::ranges::find(names_, name) == names_.end()) {
            std::error_code ignored;
            const fs::path path = folder_ / name;
            fs::remove(path, ignored);
            // A folder that only the old edition needed goes with its last file.
            if (path.parent_path() != folder_) fs::remove(path.parent_path(), ignored);
        }
    }
}

}  // namespace paleproof::app
