// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/watch.h"

#include <algorithm>
#include <array>
#include <fstream>
#include <string_view>
#include <thread>

#include "app/endings.h"
#include "app/job.h"
#include "app/source.h"
#include "core/error.h"

namespace paleproof::app {
namespace {

namespace fs = std::filesystem;

constexpr auto look_every = std::chrono::milliseconds(40);
constexpr auto patience = std::chrono::seconds(5);

void add(FileStates& states, const fs::path& file) {
    std::error_code fault;
    const FileState state{fs::file_size(file, fault), fs::last_write_time(file, fault)};
    if (!fault) states[file] = state;
}

/// The last bytes of a file; fewer when it is shorter.
std::string tail(const fs::path& file, std::size_t count) {
    std::ifstream stream(file, std::ios::binary | std::ios::ate);
    const std::streamoff size = stream.tellg();
    if (size < 0) return "";
    const auto wanted = std::min(static_cast<std::streamoff>(count), size);
    std::string bytes(static_cast<std::size_t>(wanted), '\0');
    stream.seekg(size - wanted);
    stream.read(bytes.data(), wanted);
    return bytes;
}

std::string head(const fs::path& file) {
    std::array<char, 4> bytes{};
    std::ifstream stream(file, std::ios::binary);
    stream.read(bytes.data(), bytes.size());
    return {bytes.data(), static_cast<std::size_t>(stream.gcount())};
}

}  // namespace

FileStates look_at(const fs::path& source) {
    FileStates states;
    Job job;
    std::error_code fault;
    if (!fs::is_directory(source, fault)) add(states, source);
    try {
        open_source(source, job);
        if (!fs::is_directory(job.faces, fault)) add(states, job.faces);
        for (const DeckFace& face : read_deck(job).faces) add(states, face.source);
    } catch (const Error&) {
        return states;  // being written, or wrong: the run says what is wrong with it
    }
    return states;
}

std::vector<fs::path> changed_files(const FileStates& before, const FileStates& now) {
    std::vector<fs::path> changed;
    for (const auto& [file, state] : now) {
        const auto old = before.find(file);
        if (old == before.end() || old->second != state) changed.push_back(file);
    }
    for (const auto& [file, state] : before) {
        if (!now.contains(file)) changed.push_back(file);
    }
    std::ranges::sort(changed);
    return changed;
}

bool has_its_end(const fs::path& file) {
    std::error_code fault;
    if (!has_face_ending(file) || !fs::exists(file, fault)) return true;
    const std::string start = head(file);
    // PNG ends with the chunk IEND: its length, its name, its checksum (ISO/IEC 15948, 11.2.5).
    if (start == "\x89PNG") {
        return tail(file, 12) == std::string_view("\0\0\0\0IEND\xae\x42\x60\x82", 12);
    }
    // JPEG ends with EOI (ISO/IEC 10918-1, B.1.1.3); programs may pad behind it.
    if (start.starts_with("\xff\xd8")) {
        return tail(file, 4096).find("\xff\xd9") != std::string::npos;
    }
    // Empty or cut off within the signature is on its way; anything else is for the reader to
    // judge.
    return start.size() == 4;
}

FileStates wait_for_change(const fs::path& source, const FileStates& made,
                           const std::stop_token& stop) {
    FileStates before = look_at(source);
    auto still_since = std::chrono::steady_clock::now();
    while (!stop.stop_requested()) {
        std::this_thread::sleep_for(look_every);
        FileStates now = look_at(source);
        const auto time = std::chrono::steady_clock::now();
        if (now != before) {
            before = std::move(now);
            still_since = time;
            continue;
        }
        const std::vector<fs::path> changed = changed_files(made, now);
        if (changed.empty()) continue;
        if (time - still_since >= patience || std::ranges::all_of(changed, has_its_end)) return now;
    }
    return made;
}

}  // namespace paleproof::app
