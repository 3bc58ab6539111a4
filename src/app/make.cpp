// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/make.h"

#include <algorithm>
#include <utility>

#include "app/cache.h"
#include "app/deck_plan.h"
#include "app/edition_record.h"
#include "app/face_names.h"
#include "app/face_work.h"
#include "app/handoff.h"
#include "app/impose.h"
#include "app/options.h"
#include "app/output_folder.h"
#include "app/parallel.h"
#include "app/pdf_inks.h"
#include "app/report_files.h"
#include "app/separations.h"
#include "app/source.h"
#include "codec/atomic_file.h"
#include "codec/pack.h"
#include "core/error.h"
#include "plan/twin_report.h"
#include "report/csv.h"
#include "report/ink_cost.h"
#include "report/json.h"

namespace paleproof::app {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t pixel_memory = 160U << 20U;  // a deck of 54 poker cards with bleed
constexpr std::size_t packed_memory = 64U << 20U;
constexpr std::size_t small_deck = 250;  // faces

std::vector<Setting> settings_of(const Job& job) {
    std::vector<Setting> settings;
    Job untouched;
    untouched.style = job.style;  // the default of the ink budget is that of the style
    for (const Option& option : options()) {
        // Where the faces lie and the run are no settings of the edition: they would name the
        // machine's folders.
        if (option.key == "faces" || option.section == "run") continue;
        const std::string value = option.get(job);
        const bool chosen = value != option.get(option.key == "style" ? Job{} : untouched);
        settings.push_back({std::string(option.section) + "." + std::string(option.key), value,
                            chosen ? "set" : "default"});
    }
    return settings;
}

EditionResult edition_result(const Deck& deck, const Job& job, std::vector<FaceWork>& faces,
                             std::vector<Twin> twins) {
    EditionResult result;
    result.title = deck.title;
    result.left_out = deck.left_out;
    result.style = name(job.style);
    result.separation = separation_name(job);
    if (job.style != Style::color) result.ink_budget = effective_ink_budget(job);
    for (FaceWork& face : faces) {
        if (face.worst_cut) result.worst_cut = std::move(face.worst_cut);
        result.faces.push_back(std::move(face.result));
    }
    result.settings = settings_of(job);
    result.cartridges = job.cartridges;
    result.cost = report::deck_cost(result, job.currency);
    result.findings = plan::twin_findings(twins);
    result.twins = std::move(twins);
    return result;
}

ExitStatus status_of(const EditionResult& result) {
    bool errors = std::ranges::any_of(
        result.findings, [](const Finding& f) { return f.severity == Severity::error; });
    for (const FaceResult& face : result.faces) {
        if (!face.readable) return ExitStatus::not_done;
        for (const Finding& finding : face.findings)
            errors = errors || finding.severity == Severity::error;
    }
    return errors ? ExitStatus::findings : ExitStatus::done;
}

EditionRecord record_of(const Deck& deck, const Job& job, const std::vector<FaceWork>& faces,
                        const DeckPlan& plan) {
    EditionRecord record;
    record.title = deck.title;
    record.settings = settings_of(job);
    record.legend = plan.legend;
    if (job.style == Style::gray) record.gray_map = plan.colors.gray;
    for (std::size_t i = 0; i < faces.size(); ++i) {
        const FaceWork& work = faces[i];
        RecordedFace face;
        face.name = work.result.name;
        face.source = work.result.source;
        face.source_hash = work.source_hash;
        face.proof = work.result.proof_file;
        face.proof_hash = work.proof_hash;
        face.copies = work.result.copies;
        face.back = deck.faces[i].back;
        face.trim = work.result.placement.trim;
        face.bleed = work.plan.bleed_mm;
        face.proof_px = work.proof_px;
        face.channels = work.proof_channels;
        face.bits = work.proof_bits;
        face.group4 = work.proof_group4;
        face.look = work.look;
        face.source_look = work.source_look;
        if (work.result.proof_ink) face.ink = work.result.proof_ink->total;
        record.faces.push_back(std::move(face));
    }
    set_card_hashes(record);
    return record;
}

/// Chooses the face of which the report shows what a wandering cut does.
void mark_worst_cut(std::vector<FaceWork>& faces) {
    FaceWork* worst = nullptr;
    for (FaceWork& face : faces) {
        if (!face.survey || !face.result.cut || !shows(*face.result.cut)) continue;
        if (worst == nullptr || survey::worse(face.survey->cut.worst, worst->survey->cut.worst)) {
            worst = &face;
        }
    }
    if (worst != nullptr)
        worst->worst_cut = CutPicture{.face = worst->result.name, .source = {}, .proof = {}};
}

/// A job that names its own folder as the earlier edition has none to compare with at first.
bool is_first(const Job& job) {
    std::error_code fault;
    const fs::path own = fs::weakly_canonical(job.out, fault);
    fs::path named = fs::weakly_canonical(job.changed_since, fault);
    if (named.filename() == "edition.json") named = named.parent_path();
    return own == named && !fs::exists(job.out / "edition.json", fault);
}

/// The edition that the job compares with.
std::optional<EditionRecord> earlier_edition(const Job& job) {
    if (job.changed_since.empty() || is_first(job)) return std::nullopt;
    return read_record_at(job.changed_since);
}

/// The edition that `out` has now; what of its files the new one does not have is removed. None
/// when there is no edition, or none that can be trusted: then nothing is removed.
std::optional<EditionRecord> recorded_edition(const fs::path& out) {
    try {
        return read_record(out);
    } catch (const Error&) {
        return std::nullopt;
    }
}

/// The gray map of the earlier edition, when this one asks the same of its colors: then a card that
/// stays as it is has the same grays in both, and new ones go with it.
std::optional<color::GrayTable> carried_map(const std::optional<EditionRecord>& earlier,
                                            const Job& job) {
    if (!earlier) return std::nullopt;
    for (const std::string_view key : {"style", "pins", "told_apart", "min_gray_difference"}) {
        const Option* option = find_option(key);
        const std::string name = std::string(option->section) + "." + std::string(key);
        const auto there = std::ranges::find(earlier->settings, name, &Setting::name);
        if (there == earlier->settings.end() || there->value != option->get(job)) {
            return std::nullopt;
        }
    }
    return earlier->gray_map;
}

/// An edition takes the place of none of the files that it is made from.
void protect_sources(OutputFolder& out, const Deck& deck, const Job& job) {
    for (const DeckFace& face : deck.faces) out.protect(face.source);
    for (const fs::path& file : {job.source, job.faces}) {
        if (std::error_code none; fs::is_regular_file(file, none)) out.protect(file);
    }
    // The names in an edition that faces and deck lists may have: refused before any work.
    std::vector<std::string> names{"ink.csv", "handoff.csv"};
    for (const DeckFace& face : deck.faces) names.push_back(proof_file(face.name));
    out.refuse_users_files(names);
}

/// The last step of a run: until here nothing of the edition that was there has changed.
void put_in_place(EditionRecord& record, OutputFolder& out,
                  const std::vector<std::string>& outdated, const Progress& progress) {
    std::ranges::sort(record.files);
    out.write("edition.json", record_json(record));
    if (progress.stop.stop_requested()) throw Interrupted{};
    out.commit(outdated);
}

}  // namespace

MadeEdition make(const Job& job, const Progress& progress) {
    const Deck deck = read_deck(job);
    const color::Separation separation = separation_of(job);
    if (job.pdf_color == PdfColor::cmyk) (void)pdf_inks(job);  // refused before any work
    // Read first: it may be the edition that this one takes the place of.
    const std::optional<EditionRecord> earlier = earlier_edition(job);
    OutputFolder out(job.out);
    const std::optional<EditionRecord> before = recorded_edition(job.out);
    Cache cache(job.out);
    protect_sources(out, deck, job);
    MemoryBudget pixels(pixel_memory);
    MemoryBudget packed(packed_memory);

    std::vector<FaceWork> faces =
        survey_deck(deck, job, separation, pixels, progress, &cache, survey::Purpose::proofs);
    DeckPlan deck_plan = plan_deck(faces, job, true, carried_map(earlier, job));
    mark_worst_cut(faces);
    ReportFiles report_files(out);
    make_proofs(faces, deck, job, separation, out, report_files, pixels, packed, progress, cache);
    judge_twins_again(deck_plan, faces);
    // The files of a large deck need other memory than its faces did; those of a small one need so
    // little that asking for it back takes longer than it is worth.
    const bool small = faces.size() <= small_deck;
    if (!small) give_memory_back();

    EditionRecord record = record_of(deck, job, faces, deck_plan);
    const auto place = [&out](const std::string& file) { return out.staged(file); };
    const auto proofs = [&](std::size_t i) {
        return faces[i].packed ? *faces[i].packed
                               : codec::packed_from_png(out.staged(record.faces[i].proof));
    };
    if (progress.report) progress.report("sheets", 0, job.papers.size());
    const EditionPdfs pdfs(record, job, Pdfs::pages_and_sheets, proofs, place);
    MadeEdition made;
    if (earlier) made.changes = write_changes(*earlier, record, job, proofs, place);
    if (before) {
        made.changed_here =
            changes_between(*before, record, job.sheets.backs == sheet::Backs::print);
    }
    if (progress.stop.stop_requested()) throw Interrupted{};

    made.result = edition_result(deck, job, faces, std::move(deck_plan.twins));
    made.result.sheets = pdfs.sheets();
    made.result.changes = made.changes;
    made.status = status_of(made.result);
    const auto write_reports = [&] {
        made.report_json = report::report_json(made.result);
        out.write("report.json", made.report_json);
        out.write("ink.csv", report::ink_csv(made.result));
        out.write("handoff.csv", handoff_csv(record));
        out.write("handoff.json", handoff_json(record));
        report_files.write(made.result);
    };
    // Each PDF is written by one thread, the report by another: nothing of one is in the others.
    // The page of a large deck wants the memory for itself.
    for_each_index(pdfs.count() + (small ? 1 : 0), job.threads, "sheets", {}, [&](std::size_t i) {
        if (i < pdfs.count()) {
            out.begin_flush(pdfs.write(i));
        } else {
            write_reports();
        }
    });
    if (!small) write_reports();
    record.files = out.names();
    record.files.emplace_back("edition.json");
    put_in_place(record, out, before ? before->files : std::vector<std::string>{}, progress);
    cache.forget_unused();
    made.reused = cache.reused();
    return made;
}

MadeEdition check(const Job& job, const Progress& progress, bool with_json) {
    const Deck deck = read_deck(job);
    const color::Separation separation = separation_of(job);
    MemoryBudget none(0);
    std::vector<FaceWork> faces =
        survey_deck(deck, job, separation, none, progress, nullptr,
                    with_json ? survey::Purpose::proofs : survey::Purpose::findings);
    MadeEdition checked;
    // The gray map stands in the JSON only, as the symbols do.
    checked.result = edition_result(deck, job, faces, plan_deck(faces, job, with_json).twins);
    if (with_json) checked.report_json = report::report_json(checked.result);
    checked.status = status_of(checked.result);
    return checked;
}

void take_recorded_options(const fs::path& out, Job& job) {
    for (const Setting& setting : read_record(out).settings) {
        const std::string key = setting.name.substr(setting.name.find('.') + 1);
        const Option* option = find_option(key);
        // The separation tells what inks color faces become in a PDF.
        const bool wanted =
            option != nullptr && (option->section == "sheets" || option->key == "separation");
        if (!wanted || setting.value.empty()) continue;
        option->set(job, texts_of_toml(setting.value));
    }
}

ImposedAgain impose_again(const Job& job, const Progress& progress) {
    (void)read_record(job.out);  // no folder is made where there is no edition
    std::optional<EditionRecord> earlier;
    if (!job.changed_since.empty()) earlier = read_record_at(job.changed_since);
    OutputFolder out(job.out);
    EditionRecord record = read_record(job.out);
    const auto place = [&out](const std::string& file) { return out.staged(file); };
    const auto proofs = [&](std::size_t i) {
        return codec::packed_from_png(job.out / record.faces[i].proof);
    };
    if (progress.report) progress.report("sheets", 0, job.papers.size());
    ImposedAgain imposed;
    if (job.test_page) imposed.test_pages = write_test_pages(record, job, place);
    if (earlier) {
        imposed.changes = write_changes(*earlier, record, job, proofs, place);
    } else if (!job.test_page) {
        const EditionPdfs pdfs(record, job, Pdfs::sheets, proofs, place);
        for_each_index(pdfs.count(), job.threads, "sheets", {},
                       [&](std::size_t i) { out.begin_flush(pdfs.write(i)); });
        imposed.sheets = pdfs.sheets();
        for (Setting& setting : record.settings) {
            const Option* option = find_option(setting.name.substr(setting.name.find('.') + 1));
            if (option != nullptr && option->section == "sheets") setting.value = option->get(job);
        }
    }
    // What is made anew takes the place of all of its kind.
    const auto outdates = [&](const std::string& file) {
        return (!imposed.sheets.empty() && file.starts_with("sheets-")) ||
               (earlier && (file.starts_with("changed-") || file == "changes.json"));
    };
    std::vector<std::string> outdated;
    std::ranges::copy_if(record.files, std::back_inserter(outdated), outdates);
    std::erase_if(record.files, outdates);
    for (const std::string& file : out.names()) {
        if (std::ranges::find(record.files, file) == record.files.end()) {
            record.files.push_back(file);
        }
    }
    put_in_place(record, out, outdated, progress);
    return imposed;
}

fs::path default_out(const fs::path& source) {
    fs::path base = fs::absolute(source).lexically_normal();
    if (!base.has_filename()) base = base.parent_path();
    std::error_code fault;
    const std::string stem =
        (fs::is_directory(base, fault) ? base.filename() : base.stem()).string();
    return base.parent_path() / (stem + "-edition");
}

void refuse_no_place(const fs::path& file) {
    std::error_code fault;
    const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path(".");
    if (!fs::is_directory(folder, fault)) {
        throw Error(ErrorKind::file, file.string(),
                    "cannot be written: there is no folder " + folder.string());
    }
    if (fs::is_directory(file, fault)) {
        throw Error(ErrorKind::file, file.string(), "expected a file to write, found a folder");
    }
}

void write_whole_file(const fs::path& file, std::string_view text) {
    codec::write_file(file, text);
}

void write_new_file(const fs::path& file, std::string_view text) {
    std::error_code fault;
    if (fs::exists(fs::symlink_status(file, fault))) {
        throw Error(ErrorKind::file, file.string(),
                    "exists already; remove it or name another file");
    }
    codec::write_file(file, text);
}

}  // namespace paleproof::app
