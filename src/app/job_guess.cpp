// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/job_guess.h"

#include <algorithm>
#include <vector>

#include "app/job_file.h"
#include "app/source.h"
#include "codec/read_face.h"
#include "core/error.h"
#include "survey/placement.h"

namespace paleproof::app {
namespace {

namespace fs = std::filesystem;

struct Votes {
    SizeMm size;
    int count = 0;
};

std::optional<SizeMm> usual_size(const Deck& deck, Mm bleed) {
    std::vector<Votes> votes;
    for (const DeckFace& entry : deck.faces) {
        SizeMm size;
        try {
            const auto head = codec::read_face_header(entry.source);
            size = survey::placement({.image = head.size, .declared = head.ppi, .bleed = bleed})
                       .placement.trim;
        } catch (const Error&) {
            continue;  // make and check report it; a guess needs no complete deck
        }
        const auto same = std::ranges::find(votes, size, &Votes::size);
        if (same == votes.end()) {
            votes.push_back({size, 1});
        } else {
            ++same->count;
        }
    }
    const auto best = std::ranges::max_element(votes, {}, &Votes::count);
    return best == votes.end() ? std::nullopt : std::optional(best->size);
}

}  // namespace

std::string guessed_job_file(const fs::path& source, const fs::path& folder) {
    Job job;
    open_source(source, job);
    const Deck deck = read_deck(job);
    job.title = deck.title;
    if (!job.size) job.size = usual_size(deck, job.bleed);
    const fs::path base = fs::absolute(folder.empty() ? fs::path(".") : folder).lexically_normal();
    const fs::path faces = fs::absolute(job.faces).lexically_normal().lexically_relative(base);
    if (!faces.empty()) job.faces = faces;
    return job_file_text(job);
}

}  // namespace paleproof::app
