// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/job_guess.h"

#include <algorithm>
#include <vector>

#include "app/job_file.h"
#include "app/separations.h"
#include "app/source.h"
#include "codec/read_face.h"
#include "core/card_size.h"
#include "core/error.h"
#include "core/format.h"
#include "survey/placement.h"

namespace paleproof::app {
namespace {

namespace fs = std::filesystem;

struct Votes {
    SizeMm size;
    int count = 0;
};

/// The sizes of the faces, the most frequent first.
std::vector<Votes> sizes_of(const Deck& deck, Mm bleed) {
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
    std::ranges::stable_sort(votes, std::ranges::greater{}, &Votes::count);
    return votes;
}

/// One size is a guess for all; several are told, as one of them would hold for every face.
void guess_size(const Deck& deck, Job& job, Remarks& remarks) {
    const std::vector<Votes> votes = sizes_of(deck, job.bleed);
    if (votes.size() == 1) {
        job.size = votes.front().size;
        remarks["size"] = "guessed: all faces are " + size_text(*job.size);
    }
    if (votes.size() < 2) return;
    std::string text = "left open, as the faces differ: ";
    constexpr std::size_t most = 4;
    for (std::size_t i = 0; i < std::min(votes.size(), most); ++i) {
        text += (i == 0 ? "" : ", ") + std::to_string(votes[i].count) + " of " +
                size_text(votes[i].size);
    }
    remarks["size"] =
        text + (votes.size() > most ? " and others" : "") + "; a size here would hold for all";
}

/// The one face of a folder that is called a back.
void guess_back(const Deck& deck, Job& job, Remarks& remarks) {
    std::error_code fault;
    if (!fs::is_directory(job.faces, fault)) return;
    std::vector<std::string> backs;
    for (const DeckFace& face : deck.faces) {
        const std::string name = lower_case(face.name);
        const auto parted = [](char c) { return c == '-' || c == '_' || c == ' '; };
        const bool first = name.starts_with("back") && (name.size() == 4 || parted(name[4]));
        const bool last =
            name.size() > 5 && name.ends_with("back") && parted(name[name.size() - 5]);
        if (first || last) backs.push_back(face.name);
    }
    if (backs.size() == 1) {
        job.back = backs.front();
        remarks["back"] = "guessed from the name of the file";
    } else if (backs.size() > 1) {
        remarks["back"] =
            "left open, as several faces are called a back; a deck list gives each "
            "card its own";
    }
}

}  // namespace

std::string guessed_job_file(const fs::path& source, const fs::path& folder) {
    Job job;
    open_source(source, job);
    const Deck deck = read_deck(job);
    job.title = deck.title;
    Remarks remarks;
    if (!job.size) guess_size(deck, job, remarks);
    if (job.back.empty()) guess_back(deck, job, remarks);
    const fs::path base = fs::absolute(folder.empty() ? fs::path(".") : folder).lexically_normal();
    // What a job file names is relative to it, wherever the one lies that this was made from.
    const auto rebase = [&base](fs::path path) {
        const fs::path relative = fs::absolute(path).lexically_normal().lexically_relative(base);
        return relative.empty() ? path : relative;
    };
    for (fs::path* path : {&job.faces, &job.out, &job.changed_since}) {
        if (!path->empty()) *path = rebase(*path);
    }
    if (names_profile(job.separation)) job.separation = rebase(job.separation).string();
    return job_file_text(job, remarks);
}

}  // namespace paleproof::app
