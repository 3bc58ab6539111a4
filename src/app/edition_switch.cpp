// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/edition_switch.h"

#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <fstream>
#include <set>
#include <system_error>

#include "codec/atomic_file.h"
#include "core/error.h"

namespace paleproof::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* sealed_name = ".paleproof-sealed";
constexpr const char* list_name = ".list";

// The list: "+name" to put, "-name" to remove, each ended by a zero byte, which no name has.
std::string text_of(const SwitchList& list) {
    std::string text;
    for (const std::string& name : list.put) text += "+" + name + '\0';
    for (const std::string& name : list.remove) text += "-" + name + '\0';
    return text;
}

SwitchList list_of(const fs::path& sealed) {
    std::ifstream stream(sealed / list_name, std::ios::binary);
    SwitchList list;
    for (std::string line; std::getline(stream, line, '\0');) {
        if (line.size() < 2 || !stays_inside(line.substr(1))) continue;
        (line[0] == '+' ? list.put : list.remove).push_back(line.substr(1));
    }
    return list;
}

/// One call of the system, with all that it needs.
struct Step {
    enum class What { folder, put, remove_file, remove_folder } what;
    std::string from;
    std::string to{};
};

std::vector<Step> steps_of(const fs::path& folder, const SwitchList& list) {
    const fs::path sealed = folder / sealed_name;
    std::vector<Step> steps;
    std::set<fs::path> staged_folders;
    std::set<fs::path> old_folders;
    for (const std::string& name : list.put) {
        fs::path at;
        for (const fs::path& part : fs::path(name).parent_path()) {
            at /= part;
            if (staged_folders.insert(at).second)
                steps.push_back({Step::What::folder, (folder / at).string()});
        }
    }
    for (const std::string& name : list.put) {
        steps.push_back({Step::What::put, (sealed / name).string(), (folder / name).string()});
        // A proof that was taken over is the same file under two names, which rename() leaves both.
        steps.push_back({Step::What::remove_file, (sealed / name).string()});
    }
    for (const std::string& name : list.remove) {
        steps.push_back({Step::What::remove_file, (folder / name).string()});
        const fs::path parent = fs::path(name).parent_path();
        if (!parent.empty()) old_folders.insert(parent);
    }
    // A folder that only the old edition needed goes with its last file.
    for (const fs::path& old : old_folders)
        steps.push_back({Step::What::remove_folder, (folder / old).string()});
    for (auto at = staged_folders.rbegin(); at != staged_folders.rend(); ++at)
        steps.push_back({Step::What::remove_folder, (sealed / *at).string()});
    steps.push_back({Step::What::remove_file, (sealed / list_name).string()});
    steps.push_back({Step::What::remove_folder, sealed.string()});
    return steps;
}

struct Outcome {
    int error = 0;
    std::size_t step = 0;  ///< the one that failed
};

/// Does the steps, those that are done already without harm. Calls the system and nothing else: it
/// also runs in a child of a process with threads (POSIX.1-2017, fork()).
Outcome done(const std::vector<Step>& steps) {
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const Step& step = steps[i];
        switch (step.what) {
            case Step::What::folder:
                if (::mkdir(step.from.c_str(), 0777) != 0 && errno != EEXIST) return {errno, i};
                break;
            case Step::What::put:
                if (::rename(step.from.c_str(), step.to.c_str()) != 0 && errno != ENOENT)
                    return {errno, i};
                break;
            case Step::What::remove_file:
                ::unlink(step.from.c_str());
                break;
            case Step::What::remove_folder:
                ::rmdir(step.from.c_str());
                break;
        }
    }
    return {};
}

/// Does the steps in a process of its own, which ends with its work and not with this one. The lock
/// on the folder is open there too, so it is held until then.
Outcome done_apart(const std::vector<Step>& steps) {
    std::array<int, 2> answer{-1, -1};
    if (::pipe(answer.data()) != 0) return done(steps);
    const pid_t child = ::fork();
    if (child == 0) {
        ::setsid();  // out of the reach of the terminal, and of a kill of the whole group
        const Outcome outcome = done(steps);
        const ssize_t told = ::write(answer[1], &outcome, sizeof outcome);
        ::_exit(told == sizeof outcome ? 0 : 1);
    }
    ::close(answer[1]);
    Outcome outcome;
    ssize_t count = -1;
    if (child > 0) {
        do {
            count = ::read(answer[0], &outcome, sizeof outcome);
        } while (count < 0 && errno == EINTR);
        while (::waitpid(child, nullptr, 0) < 0 && errno == EINTR) {
        }
    }
    ::close(answer[0]);
    // No process to be had, or it was killed: what is left is done here.
    return count == sizeof outcome ? outcome : done(steps);
}

[[noreturn]] void refuse(const fs::path& file, const std::string& why) {
    throw Error(ErrorKind::file, file.string(), "could not be put in place: " + why);
}

/// What rename() would refuse halfway is found here, before anything is changed.
void check_way(const fs::path& folder, const std::string& name) {
    struct stat home {};
    if (::stat(folder.c_str(), &home) != 0) refuse(folder, std::generic_category().message(errno));
    fs::path at = folder;
    const fs::path relative(name);
    for (const fs::path& part : relative.parent_path()) {
        at /= part;
        struct stat found {};
        if (::stat(at.c_str(), &found) != 0) {
            if (errno == ENOENT) return;  // will be made
            refuse(at, std::generic_category().message(errno));
        }
        if (!S_ISDIR(found.st_mode)) refuse(folder / name, at.string() + " is no folder");
        if (found.st_dev != home.st_dev)
            refuse(folder / name, at.string() + " lies on another disk");
    }
    if (::access(at.c_str(), W_OK | X_OK) != 0)
        refuse(folder / name, std::generic_category().message(errno));
    struct stat old {};
    if (::lstat((folder / name).c_str(), &old) == 0 && S_ISDIR(old.st_mode))
        refuse(folder / name, "there is a folder of that name");
}

}  // namespace

bool stays_inside(const std::string& name) {
    const fs::path path = fs::path(name).lexically_normal();
    return !name.empty() && path.is_relative() && *path.begin() != "..";
}

void seal(const fs::path& folder, const fs::path& staging, const SwitchList& list) {
    for (const std::string& name : list.put) {
        std::error_code fault;
        if (!fs::is_regular_file(staging / name, fault))
            throw Error(ErrorKind::internal, name, "is not among the new files");
        check_way(folder, name);
    }
    codec::write_file(staging / list_name, text_of(list));
    std::error_code fault;
    fs::rename(staging, folder / sealed_name, fault);
    if (fault) refuse(folder, fault.message());
}

void put_in_place(const fs::path& folder) {
    const fs::path sealed = folder / sealed_name;
    std::error_code fault;
    if (!fs::exists(sealed, fault)) return;
    const std::vector<Step> steps = steps_of(folder, list_of(sealed));
    const Outcome outcome = done_apart(steps);
    if (outcome.error != 0) {
        const Step& step = steps[outcome.step];
        refuse(step.to.empty() ? step.from : step.to,
               std::generic_category().message(outcome.error) +
                   "; mend that and run again: what is left is done then");
    }
    fs::remove_all(sealed, fault);  // anything that is not in its list
}

fs::path file_of_edition(const fs::path& folder, const std::string& name) {
    std::error_code fault;
    fs::path sealed = folder / sealed_name / name;
    return fs::exists(sealed, fault) ? sealed : folder / name;
}

}  // namespace paleproof::app
