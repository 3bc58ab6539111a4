// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/cache.h"

#include <algorithm>
#include <fstream>
#include <sstream>
#include <system_error>
#include <tuple>
#include <type_traits>
#include <utility>
#include <vector>

#include "app/content_hash.h"
#include "core/error.h"

namespace paleproof::app {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t hash_digits = 32;

/// Two builds of one version may make different proofs.
const std::string& program_hash() {
    static const std::string hash = [] {
        try {
            return content_hash_of_file("/proc/self/exe");
        } catch (const Error&) {
            return std::string(PALEPROOF_VERSION);  // no Linux: the version must do
        }
    }();
    return hash;
}

/// The content of a profile counts, not its name.
std::string separation_hash(const Job& job) {
    std::error_code fault;
    if (!fs::is_regular_file(job.separation, fault)) return job.separation;
    try {
        return job.separation + content_hash_of_file(job.separation);
    } catch (const Error&) {
        return job.separation;
    }
}

/// The job without what faces and proofs do not depend on.
Job job_of_faces(const Job& job) {
    Job part = job;
    part.source.clear();
    part.out.clear();
    part.changed_since.clear();
    part.threads = 0;
    part.faces.clear();
    part.title.clear();
    part.papers.clear();
    part.sheets = {};
    part.pdf_color = {};
    part.cartridges.clear();
    part.currency.clear();
    part.pins.clear();  // what they do is in the gray map
    part.twins = {};    // and in the twins
    part.separation = separation_hash(job);
    return part;
}

/// The areas alone: which twin of the deck they belong to, and in what order the twins stand,
/// depends on other faces and changes nothing in a proof.
std::vector<TwinCore> measured_areas(const std::vector<TwinCore>& cores) {
    const auto place = [](const TwinCore& core) {
        return std::tuple(core.box_px.x, core.box_px.y, core.box_px.width, core.box_px.height,
                          core.color.r, core.color.g, core.color.b);
    };
    std::vector<TwinCore> areas;
    for (const TwinCore& core : cores) {
        areas.push_back({.box_px = core.box_px, .color = core.color});
    }
    std::ranges::sort(areas, {}, place);
    const auto same = [&place](const TwinCore& a, const TwinCore& b) {
        return place(a) == place(b);
    };
    areas.erase(std::unique(areas.begin(), areas.end(), same), areas.end());
    return areas;
}

}  // namespace

Cache::Cache(fs::path out) : out_(std::move(out)), folder_(out_ / ".paleproof-cache") {}

std::optional<std::string> Cache::load_bytes(const std::string& key) {
    std::ifstream stream(folder_ / key, std::ios::binary);
    if (!stream) return std::nullopt;
    std::ostringstream content;
    content << stream.rdbuf();
    std::string bytes = std::move(content).str();
    if (bytes.size() < hash_digits ||
        content_hash(std::string_view(bytes).substr(hash_digits)) != bytes.substr(0, hash_digits)) {
        return std::nullopt;
    }
    const std::scoped_lock lock(guard_);
    used_.insert(key);
    return bytes.substr(hash_digits);
}

void Cache::store_bytes(const std::string& key, std::string_view bytes) {
    std::error_code fault;
    fs::create_directories(folder_, fault);
    // Not flushed, nor put in place whole: what does not have its own hash counts as none.
    std::ofstream stream(folder_ / key, std::ios::binary | std::ios::trunc);
    stream << content_hash(bytes) << bytes;
    stream.close();
    if (!stream) return;  // the edition does not need it
    const std::scoped_lock lock(guard_);
    used_.insert(key);
}

void Cache::forget_unused() {
    std::error_code fault;
    for (const auto& entry : fs::directory_iterator(folder_, fault)) {
        if (used_.contains(entry.path().filename().string())) continue;
        std::error_code ignored;
        fs::remove(entry.path(), ignored);
    }
}

std::string survey_key(const std::string& source_hash, const FaceWork& face, const Job& job) {
    Job part = job_of_faces(job);
    // A survey looks at the source: it is the same for every style.
    part.style = {};
    part.ink_budget.reset();
    ByteWriter bytes;
    bytes(program_hash())(part)(source_hash)(face.result.name)(face.result.source);
    return "survey-" + content_hash(bytes.bytes());
}

std::string proof_key(const FaceWork& face, const Job& job) {
    ByteWriter bytes;
    bytes(program_hash())(job_of_faces(job));
    for_each_member(face, [&bytes]<class T>(const T& member) {
        if constexpr (std::is_same_v<T, FaceResult>) {
            // How often the card is in the deck and where its file lies change nothing in a proof.
            FaceResult part = member;
            part.source.clear();
            part.copies = 1;
            part.back.clear();
            bytes(part);
        } else if constexpr (std::is_same_v<T, std::vector<TwinCore>>) {
            bytes(measured_areas(member));
        } else {
            bytes(member);
        }
    });
    return "proof-" + content_hash(bytes.bytes());
}

}  // namespace paleproof::app
