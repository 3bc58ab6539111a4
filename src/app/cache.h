// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <atomic>
#include <filesystem>
#include <mutex>
#include <optional>
#include <set>
#include <string>
#include <string_view>

#include "app/cache_bytes.h"
#include "app/face_work.h"
#include "app/job.h"
#include "core/deck.h"

namespace paleproof::app {

/// What earlier runs into the same output folder found and made, so that a run makes again only
/// what changed. It lies in OUT/.paleproof-cache, one file an entry.
///
/// An entry's name is the hash of everything that its content depends on: the source's bytes, the
/// options, this program's own bytes, for a proof also its plan, which all faces of the deck decide
/// together. So an entry is never out of date, only unused. An entry that is damaged, or cannot be
/// written, counts as none. The folder may be deleted at any time.
class Cache {
  public:
    explicit Cache(std::filesystem::path out);

    [[nodiscard]] const std::filesystem::path& out() const { return out_; }

    /// Fills `value` from the entry; false when there is none that is whole.
    template <class T>
    bool load(const std::string& key, T& value) {
        const std::optional<std::string> bytes = load_bytes(key);
        if (!bytes) return false;
        ByteReader reader(*bytes);
        T read;
        reader(read);
        if (!reader.whole()) return false;
        value = std::move(read);
        return true;
    }
    template <class T>
    void store(const std::string& key, const T& value) {
        store_bytes(key, ByteWriter()(value).bytes());
    }

    /// Removes the entries that this run neither loaded nor stored.
    void forget_unused();

    /// Proofs that were taken over as they were.
    [[nodiscard]] int reused() const { return reused_; }
    void count_reused() { ++reused_; }

  private:
    [[nodiscard]] std::optional<std::string> load_bytes(const std::string& key);
    void store_bytes(const std::string& key, std::string_view bytes);

    std::filesystem::path out_;
    std::filesystem::path folder_;
    std::mutex guard_;  // of used_
    std::set<std::string> used_;
    std::atomic<int> reused_ = 0;
};

/// Names the survey of a face whose file has this hash. All that survey_deck.cpp reads is in it.
[[nodiscard]] std::string survey_key(const std::string& source_hash, const FaceWork& face,
                                     const Job& job);

/// Names the proof of a face as make_proofs.cpp is about to make it: all of FaceWork but its
/// waiting pixels, and all of the job but what is only for sheets.
[[nodiscard]] std::string proof_key(const FaceWork& face, const Job& job);

}  // namespace paleproof::app
