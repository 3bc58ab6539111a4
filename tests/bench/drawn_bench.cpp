// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Gray, line and hatch proofs of whole decks: ink saved against the plain gray of the same faces,
// text lines kept, processor time a face. Gray is by lightness here, without the map of the deck.
//     drawn_bench FOLDER...      each folder is a deck of 2.5 x 3.5 in faces at 300 ppi
#include <fmt/core.h>
#include <malloc.h>

#include <algorithm>
#include <ctime>
#include <filesystem>
#include <iterator>
#include <limits>
#include <string>
#include <vector>

#include "app/styles.h"
#include "codec/read_face.h"
#include "color/separation.h"
#include "filters/gray.h"
#include "filters/lighten.h"
#include "filters/rescale.h"
#include "plan/text_judgement.h"
#include "survey/symbol_parts.h"
#include "survey/text/proof_text.h"

namespace fs = std::filesystem;
using namespace paleproof;

namespace {

double processor_ms() {
    timespec t{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

struct Tally {
    int faces = 0;
    double gray = 0.0;
    double ink = 0.0;
    int missed = 0;
    int lines = 0;
    int lost = 0;     ///< what the finding text-lost says
    int erased = 0;   ///< kept lines out of whose proof a stretch was taken
    int noticed = 0;  ///< and that then did not count as kept
    int marks = 0;
    int marks_kept = 0;
    int symbols = 0;
    int symbols_kept = 0;
    double ms = 0.0;
    double worst_ms = 0.0;
};

struct BenchFace {
    Face face;
    survey::FaceSurvey survey;
};

/// The proof without 15 % of a line's length: 40 % to 55 % from its beginning, two letters or more.
Image with_erased(const Image& proof, const TextLine& line) {
    Image result = proof;
    RectPx part = line.box_px;
    const bool turned = line.quarter_turns % 2 != 0;
    int& from = turned ? part.y : part.x;
    int& length = turned ? part.height : part.width;
    from += length * 2 / 5;
    length = length * 3 / 20;
    part = intersection(part, result.bounds());
    for (int y = part.y; y < part.bottom(); ++y) {
        std::fill_n(result.row(y) + part.x, part.width, std::uint8_t{255});
    }
    return result;
}

/// One proof with its check, timed: best of three.
void add(const BenchFace& in, std::span<const plan::FacePattern> patterns, app::Style style,
         double budget, Tally& tally) {
    const Image& source = in.face.image;
    std::vector<RectPx> first;
    for (const survey::ColorArea& area : in.survey.palette.areas) {
        if (area.kind == survey::AreaKind::symbol) first.push_back(area.box_px);
    }
    const RectPx trim = intersection(in.survey.place.placement.trim_px, source.bounds());
    const app::StyleInput input{.source = source,
                                .trimmed = trim,
                                .ink_budget = budget,
                                .text = in.survey.text,
                                .symbols = in.survey.symbols,
                                .first = first,
                                .patterns = patterns};
    double best = std::numeric_limits<double>::max();
    double ink = 0.0;
    std::vector<TextLine> text;
    std::vector<Symbol> symbols;
    for (int run = 0; run < 3; ++run) {
        const double start = processor_ms();
        const Image proof = app::styled_proof(input, style);
        const Image on_face = filters::rescale(proof, source.size());
        const Image gray = filters::gray(source);
        text = in.survey.text;
        for (TextLine& line : text) {
            if (const auto found = survey::line_in_proof(gray, on_face, line))
                plan::judge_kept(line, *found, plan::TextLimits{});
        }
        symbols = in.survey.symbols;
        for (Symbol& symbol : symbols) {
            if (const auto found = survey::symbol_in_proof(source, on_face, symbol))
                plan::judge_kept(symbol, *found, plan::TextLimits{});
        }
        best = std::min(best, processor_ms() - start);
        if (run > 0) continue;
        for (const TextLine& line : text) {
            if (!line.kept.value_or(false) || !plan::must_be_kept(line, {})) continue;
            TextLine again = line;
            const auto found = survey::line_in_proof(gray, with_erased(on_face, line), line);
            if (found) plan::judge_kept(again, *found, {});
            ++tally.erased;
            if (!again.kept.value_or(true)) ++tally.noticed;
        }
        ink = filters::coverage(on_face, trim);
    }
    ++tally.faces;
    tally.gray += filters::coverage(filters::gray(source), trim);
    tally.ink += ink;
    tally.missed += ink > budget + 0.002 ? 1 : 0;
    for (const Symbol& symbol : symbols) {
        if (!symbol.kept) continue;
        ++tally.symbols;
        tally.symbols_kept += *symbol.kept ? 1 : 0;
    }
    // A mark that the survey found as symbols, too, is counted as these.
    const auto is_symbol = [&](const TextLine& mark) {
        return std::ranges::any_of(symbols, [&](const Symbol& symbol) {
            const RectPx shared = intersection(mark.box_px, symbol.box_px);
            return 2 * shared.width * shared.height >= symbol.box_px.width * symbol.box_px.height;
        });
    };
    for (const TextLine& line : text) {
        if (!line.kept || (line.kind == TextLine::Kind::mark && is_symbol(line))) continue;
        const bool mark = line.kind == TextLine::Kind::mark;
        (mark ? tally.marks : tally.lines) += 1;
        if (mark) tally.marks_kept += *line.kept ? 1 : 0;
    }
    std::vector<TextLine> lines;
    std::ranges::copy_if(text, std::back_inserter(lines),
                         [](const TextLine& line) { return line.kind == TextLine::Kind::line; });
    tally.lost += static_cast<int>(plan::lost_findings("", lines, {}, plan::TextLimits{}).size());
    tally.ms += best;
    tally.worst_ms = std::max(tally.worst_ms, best);
}

std::vector<BenchFace> read_deck(const fs::path& folder, const survey::TextFinder& finder,
                                 const color::Separation& separation) {
    std::vector<fs::path> files;
    for (const auto& entry : fs::directory_iterator(folder)) {
        const auto ending = entry.path().extension();
        if (ending == ".png" || ending == ".jpg") files.push_back(entry.path());
    }
    std::ranges::sort(files);
    std::vector<BenchFace> deck;
    for (const fs::path& file : files) {
        BenchFace face{codec::read_face(file, {}).face, {}};
        face.survey = survey::survey_face(face.face,
                                          {.image = face.face.image.size(),
                                           .declared = face.face.image.ppi(),
                                           .size = SizeMm{Mm{63.5}, Mm{88.9}},
                                           .bleed = Mm{3.0}},
                                          separation, finder);
        face.face.image.set_ppi(face.survey.place.placement.ppi);
        deck.push_back(std::move(face));
    }
    return deck;
}

void print(const std::string& deck, const char* style, const Tally& t, double saved_aim,
           double ms_aim) {
    const double saved = 100.0 * (1.0 - t.ink / t.gray);
    fmt::print(
        "| {} | {} | {} | {:.1f} % | {:.1f} % | {:.1f} % (>= {:.0f}) | {} of {} | {} of {} | {} of "
        "{} | {} | "
        "{:.0f} (<= "
        "{:.0f}) | {:.0f} | {} of {} |\n",
        deck, style, t.faces, 100.0 * t.gray / t.faces, 100.0 * t.ink / t.faces, saved, saved_aim,
        t.lines - t.lost, t.lines, t.marks_kept, t.marks, t.symbols_kept, t.symbols, t.missed,
        t.ms / t.faces, ms_aim, t.worst_ms, t.noticed, t.erased);
}

}  // namespace

int main(int count, char** arguments) {
    // Without this, most of the time goes into fresh pages for pictures of the same size.
    mallopt(M_MMAP_THRESHOLD, 1 << 30);
    mallopt(M_TRIM_THRESHOLD, 2'000'000'000);
    const survey::TextFinder finder;
    const auto separation = color::Separation::uncoated();
    fmt::print(
        "| deck | style | faces | plain gray | proof | saved (aim) | text lines kept | single "
        "marks kept | symbols kept | over "
        "budget | ms a face (aim) | worst | erased letters noticed |\n| --- | --- | --- | --- | "
        "--- | --- | --- | --- | --- | "
        "--- | --- | --- | --- |\n");
    for (int i = 1; i < count; ++i) {
        const fs::path folder = arguments[i];
        const std::vector<BenchFace> deck = read_deck(folder, finder, separation);
        if (deck.empty()) continue;
        std::vector<survey::FaceSurvey> surveys;
        for (const BenchFace& face : deck) surveys.push_back(face.survey);
        const auto patterns = plan::deck_patterns(plan::deck_palette(surveys), surveys.size());
        app::Job job;
        Tally gray;
        Tally line;
        Tally hatch;
        for (std::size_t f = 0; f < deck.size(); ++f) {
            job.style = app::Style::gray;
            add(deck[f], {}, job.style, app::effective_ink_budget(job), gray);
            job.style = app::Style::line;
            add(deck[f], {}, job.style, app::effective_ink_budget(job), line);
            job.style = app::Style::hatch;
            add(deck[f], patterns.faces[f], job.style, app::effective_ink_budget(job), hatch);
        }
        print(folder.filename().string(), "gray", gray, 75.0, 45.0);
        print(folder.filename().string(), "line", line, 88.0, 160.0);
        print(folder.filename().string(), "hatch", hatch, 80.0, 200.0);
    }
    return 0;
}
