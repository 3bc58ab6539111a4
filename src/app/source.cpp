// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/source.h"

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "app/endings.h"
#include "app/face_names.h"
#include "app/job_file.h"
#include "app/left_out.h"
#include "app/options.h"
#include "core/error.h"
#include "core/format.h"
#include "core/utf8.h"

namespace paleproof::app {
namespace {

namespace fs = std::filesystem;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Byte order, but runs of digits compare as numbers: "card 2" before "card 10".
bool natural_less(const std::string& a, const std::string& b) {
    std::size_t i = 0;
    std::size_t j = 0;
    while (i < a.size() && j < b.size()) {
        if (is_digit(a[i]) && is_digit(b[j])) {
            std::size_t i_end = i;
            std::size_t j_end = j;
            while (i_end < a.size() && is_digit(a[i_end])) ++i_end;
            while (j_end < b.size() && is_digit(b[j_end])) ++j_end;
            const std::size_t i_start = std::min(a.find_first_not_of('0', i), i_end);
            const std::size_t j_start = std::min(b.find_first_not_of('0', j), j_end);
            if (i_end - i_start != j_end - j_start) return i_end - i_start < j_end - j_start;
            const int order = a.compare(i_start, i_end - i_start, b, j_start, j_end - j_start);
            if (order != 0) return order < 0;
            i = i_end;
            j = j_end;
        } else {
            if (a[i] != b[j]) {
                return static_cast<unsigned char>(a[i]) < static_cast<unsigned char>(b[j]);
            }
            ++i;
            ++j;
        }
    }
    if (a.size() - i != b.size() - j) return a.size() - i < b.size() - j;
    return a < b;
}

}  // namespace

void open_source(const fs::path& source, Job& job) {
    std::error_code fault;
    const fs::file_status status = fs::status(source, fault);
    if (!fs::exists(status)) {
        throw Error(
            ErrorKind::file, source.empty() ? "SOURCE" : source.string(),
            "expected a folder of faces, a deck list (.csv) or a job file (.toml); there is "
            "nothing of that name");
    }
    job.source = source;
    if (fs::is_directory(status) || lower_ending(source) == ".csv") {
        job.faces = source;
        return;
    }
    if (lower_ending(source) == ".toml") {
        read_job_file(source, job);
        if (!fs::exists(job.faces, fault)) {
            throw Error(ErrorKind::file, source.string() + ": deck.faces",
                        "expected a folder of faces or a deck list (.csv), relative to the job "
                        "file; there is no " +
                            job.faces.string());
        }
        return;
    }
    const fs::path around = source.has_parent_path() ? source.parent_path() : fs::path(".");
    throw Error(
        ErrorKind::file, source.string(),
        "expected a folder of faces, a deck list (.csv) or a job file (.toml), got " +
            (has_face_ending(source) ? "one picture; name the folder that it lies in, " +
                                           around.string() + ", or a deck list that names it alone"
                                     : std::string("another kind of file")));
}

Deck deck_of_folder(const fs::path& folder) {
    std::error_code fault;
    std::vector<fs::path> files;
    for (fs::directory_iterator at(folder, fault), end; !fault && at != end; at.increment(fault)) {
        const fs::path& path = at->path();
        const bool hidden = path.filename().string().starts_with('.');
        if (!hidden && has_face_ending(path)) {
            files.push_back(path);
        }
    }
    if (fault) {
        throw Error(ErrorKind::file, folder.string(),
                    "expected a folder that can be read: " + fault.message());
    }
    std::vector<std::string> left_out = left_out_of(folder);
    if (files.empty() && fs::exists(folder / "edition.json", fault)) {
        throw Error(ErrorKind::file, folder.string(),
                    "expected a folder of faces, found an edition; name the folder that it was "
                    "made from, or `paleproof sheets` to impose it again");
    }
    if (files.empty()) {
        throw Error(ErrorKind::file, folder.string(),
                    "expected faces as .png, .jpg or .jpeg files, found none" +
                        (left_out.empty() ? std::string() : "; but " + left_out.front()));
    }
    std::ranges::sort(files, [](const fs::path& a, const fs::path& b) {
        return natural_less(a.filename().string(), b.filename().string());
    });
    Deck deck;
    deck.left_out = std::move(left_out);
    FaceNames names;
    for (const fs::path& file : files) {
        deck.faces.push_back({names.unique(file.stem().string()), file, 1, std::nullopt});
    }
    return deck;
}

namespace {

/// Gives job.back to all cards that have none. In a folder it is then no card of its own.
void set_common_back(Deck& deck, const Job& job, bool folder) {
    if (job.back.empty()) return;
    const fs::path beside = folder ? job.faces : job.faces.parent_path();
    const fs::path file = (beside / job.back).lexically_normal();
    std::error_code fault;
    auto back = std::ranges::find_if(deck.faces, [&](const DeckFace& face) {
        return face.name == job.back || face.source.lexically_normal() == file;
    });
    if (back == deck.faces.end()) {
        if (!fs::is_regular_file(file, fault)) {
            std::vector<std::string> names;
            for (const DeckFace& face : deck.faces) names.push_back(face.name);
            const std::vector<std::string_view> known(names.begin(), names.end());
            throw Error(ErrorKind::range, "back",
                        "expected a face of the deck by its name, or a file beside them, got '" +
                            job.back + "'" + did_you_mean(job.back, known));
        }
        FaceNames names;
        for (const DeckFace& face : deck.faces) (void)names.unique(face.name);
        deck.faces.push_back({names.unique(file.stem().string()), file, 0, std::nullopt});
        back = std::prev(deck.faces.end());
    }
    if (folder) back->copies = 0;
    const auto index = static_cast<std::size_t>(back - deck.faces.begin());
    for (std::size_t i = 0; i < deck.faces.size(); ++i) {
        DeckFace& face = deck.faces[i];
        if (i != index && face.copies > 0 && !face.back) face.back = index;
    }
}

}  // namespace

Deck read_deck(const Job& job) {
    std::error_code fault;
    const bool folder = fs::is_directory(job.faces, fault);
    if (!folder && lower_ending(job.faces) != ".csv") {
        throw Error(ErrorKind::file, job.faces.string(),
                    "expected a folder of faces or a deck list (.csv)");
    }
    Deck deck = folder ? deck_of_folder(job.faces) : deck_of_list(job.faces);
    set_common_back(deck, job, folder);
    deck.title = job.title;
    if (deck.title.empty()) {
        const fs::path whole = fs::absolute(job.faces).lexically_normal();
        const fs::path named = whole.has_filename() ? whole : whole.parent_path();
        deck.title = (folder ? named.filename() : named.stem()).string();
        // A list that is only called "deck" says less than the folder it lies in.
        if (!folder && deck.title == "deck") deck.title = named.parent_path().filename().string();
    }
    deck.title = one_line(deck.title);  // a folder may be called anything
    return deck;
}

}  // namespace paleproof::app
