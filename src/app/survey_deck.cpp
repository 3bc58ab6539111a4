// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <filesystem>
#include <optional>
#include <string>
#include <system_error>
#include <utility>

#include "app/cache.h"
#include "app/content_hash.h"
#include "app/endings.h"
#include "app/face_pixels.h"
#include "app/face_work.h"
#include "app/left_out.h"
#include "app/parallel.h"
#include "core/error.h"
#include "core/utf8.h"
#include "plan/judgement.h"
#include "survey/text/reader.h"

namespace paleproof::app {
namespace {

std::string relative_source(const std::filesystem::path& file, const Job& job) {
    std::error_code fault;
    const bool folder = std::filesystem::is_directory(job.faces, fault);
    const auto base = folder ? job.faces : job.faces.parent_path();
    const auto relative = file.lexically_relative(base);
    return (relative.empty() ? file.filename() : relative).generic_string();
}

plan::Limits limits_of(const Job& job, const color::Separation& separation) {
    return {.bleed = job.bleed,
            .min_ppi = job.min_ppi,
            .cut_wander = job.cut_wander,
            .total_limit = job.total_limit ? job.total_limit : separation.total_limit(),
            .text = job.text,
            .best_paper_contrast = separation.paper_contrast_of_grays(0, 255)};
}

CutResult cut_result(const survey::FaceSurvey& face, Mm wander) {
    const survey::CutEffect& worst = face.cut.worst;
    return {.wander = wander,
            .right = worst.right,
            .down = worst.down,
            .white = worst.white,
            .proof_white = std::nullopt,
            .lost_lines = worst.lost_lines,
            .lopsided = worst.lopsided,
            .lopsided_level = worst.lopsided_level};
}

void survey_file(FaceWork& work, const codec::FileBytes& file, const DeckFace& entry,
                 const Job& job, const color::Separation& separation,
                 const survey::TextFinder& finder, survey::TextReaders* readers,
                 MemoryBudget& memory, survey::Purpose purpose) {
    FacePixels pixels = pixels_of(file, entry, job);
    codec::ReadFace& read = pixels.read;
    Face& face = read.face;
    face.name = entry.name;
    FaceResult& result = work.result;
    result.notes = read.notes;
    const bool called_png = lower_ending(entry.source) == ".png";
    if (called_png != (read.facts.format == "PNG")) {
        result.notes.push_back("a " + std::string(read.facts.format) +
                               " picture whose file is called " +
                               entry.source.extension().string() + "; it was read all the same");
    }
    result.size_px = face.image.size();

    work.survey =
        survey::survey_face(face, placement_question(face, job), separation, finder, purpose);
    work.survey->scaled_from = pixels.scaled_from;
    result.placement = work.survey->place.placement;
    result.size_note = work.survey->place.note;
    result.source_ink = work.survey->ink;
    if (readers != nullptr) {
        readers->read(face.image, work.survey->text);
    }
    result.text = work.survey->text;
    result.symbols = work.survey->symbols;
    if (work.survey->text_cut) {
        result.notes.push_back("more text than a survey keeps; the strongest lines were kept");
    }
    if (work.survey->crop_marks) {
        result.notes.push_back(
            "printed crop marks were found and cut away; the trim lies between them");
    }
    result.bleed_present = result.placement.bleed_present;
    if (job.cut_wander.value > 0.0) result.cut = cut_result(*work.survey, job.cut_wander);
    result.findings = plan::findings(*work.survey, limits_of(job, separation));

    face.image.set_ppi(result.placement.ppi);
    if (memory.take(face.image.bytes().size())) {
        work.pixels = std::move(face);
    }
}

/// What a survey leaves in a FaceWork.
struct SurveyEntry {
    FaceResult result;
    std::optional<survey::FaceSurvey> survey;
};

/// Takes the survey of the face from the cache, or makes it and stores it there.
void read_and_survey(FaceWork& work, const DeckFace& entry, const Job& job,
                     const color::Separation& separation, const survey::TextFinder& finder,
                     survey::TextReaders* readers, MemoryBudget& memory, Cache* cache,
                     survey::Purpose purpose) {
    // The same bytes are hashed and decoded, whatever happens to the file meanwhile.
    const codec::FileBytes file = read_file(entry);
    if (cache == nullptr) {
        survey_file(work, file, entry, job, separation, finder, readers, memory, purpose);
        return;
    }
    work.source_hash = content_hash(file.span());
    const std::string key = survey_key(work.source_hash, work, job);
    SurveyEntry known;
    if (cache->load(key, known)) {
        known.result.copies = work.result.copies;
        known.result.back = work.result.back;
        work.result = std::move(known.result);
        work.survey = std::move(known.survey);
        return;
    }
    survey_file(work, file, entry, job, separation, finder, readers, memory, purpose);
    cache->store(key, SurveyEntry{work.result, work.survey});
}

/// What is wrong with a file that could not be read; a missing one is answered with the nearest
/// name beside it.
std::string why_unread(const std::filesystem::path& file, const Job& job, const Error& fault) {
    // Reports name no path outside of the deck: an edition is the same wherever its faces lie.
    const std::string name = relative_source(file, job);
    std::error_code none;
    if (std::filesystem::exists(file, none)) {
        return fault.subject() == file.string() ? name + ": " + fault.detail() : fault.what();
    }
    if (std::filesystem::is_symlink(file, none)) {
        return name + ": expected a picture, found a link that leads nowhere";
    }
    return name + ": there is no such file" + near_file(file);
}

}  // namespace

bool MemoryBudget::take(std::size_t bytes) {
    const auto wanted = static_cast<std::ptrdiff_t>(bytes);
    if (left_.fetch_sub(wanted) >= wanted) return true;
    left_.fetch_add(wanted);
    return false;
}

void MemoryBudget::release(std::size_t bytes) {
    left_.fetch_add(static_cast<std::ptrdiff_t>(bytes));
}

std::vector<FaceWork> survey_deck(const Deck& deck, const Job& job,
                                  const color::Separation& separation, MemoryBudget& memory,
                                  const Progress& progress, Cache* cache, survey::Purpose purpose) {
    std::vector<FaceWork> faces(deck.faces.size());
    const survey::TextFinder finder;
    std::optional<survey::TextReaders> readers;
    if (job.read) {
        readers.emplace(job.read_language);
    }
    for_each_index(faces.size(), job.threads, "survey", progress, [&](std::size_t i) {
        const DeckFace& entry = deck.faces[i];
        FaceWork& work = faces[i];
        work.result.name = entry.name;
        work.result.source = relative_source(entry.source, job);
        work.result.copies = entry.copies;
        if (entry.back) work.result.back = deck.faces[*entry.back].name;
        try {
            read_and_survey(work, entry, job, separation, finder, readers ? &*readers : nullptr,
                            memory, cache, purpose);
        } catch (const Error& fault) {
            if (fault.kind() == ErrorKind::internal) throw;
            work.result.readable = false;
            work.result.findings = {
                plan::unreadable(entry.name, one_line(why_unread(entry.source, job, fault)))};
        }
    });
    return faces;
}

}  // namespace paleproof::app
