// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/proof_check.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <iterator>
#include <optional>
#include <utility>
#include <vector>

#include "filters/gray.h"
#include "plan/judgement.h"
#include "survey/similarity.h"
#include "survey/text/proof_text.h"

namespace paleproof::app {
namespace {

/// Judges all lines; returns how many of those that must be kept were lost.
int judge_lines(std::vector<TextLine>& text, const Image& gray, const Image& proof,
                const Job& job) {
    int lost = 0;
    for (TextLine& line : text) {
        line.kept.reset();
        line.proof_contrast.reset();
        if (const auto found = survey::line_in_proof(gray, proof, line)) {
            plan::judge_kept(line, *found, job.text);
        }
        if (!line.kept.value_or(true) && plan::must_be_kept(line, job.text)) ++lost;
    }
    return lost;
}

std::optional<double> mean_code(const Image& gray, RectPx box) {
    const RectPx seen = intersection(box, gray.bounds());
    if (seen.empty()) return std::nullopt;
    std::uint64_t sum = 0;
    for (int y = seen.y; y < seen.bottom(); ++y) {
        const std::uint8_t* row = gray.row(y);
        for (int x = seen.x; x < seen.right(); ++x) sum += row[x];
    }
    return static_cast<double>(sum) / (static_cast<double>(seen.width) * seen.height);
}

/// What a gray picture would take if it were sent as RGB, as many people do.
std::optional<double> total_as_rgb(const Image& picture, RectPx trim,
                                   const color::Separation& separation) {
    const RectPx area = intersection(trim, picture.bounds());
    if (picture.encoding() == Encoding::srgb || area.empty()) return std::nullopt;
    std::array<std::uint64_t, 256> count{};
    for (int y = area.y; y < area.bottom(); ++y) {
        const std::uint8_t* row = picture.row(y);
        for (int x = area.x; x < area.right(); ++x) ++count[row[x]];
    }
    double sum = 0.0;
    for (std::size_t i = 0; i < count.size(); ++i) {
        if (count[i] == 0) continue;
        const auto v = static_cast<std::uint8_t>(i);
        sum += static_cast<double>(count[i]) * separation.separated({v, v, v}).total();
    }
    return sum / (static_cast<double>(area.width) * area.height);
}

}  // namespace

FinishedProof checked_proof(FaceWork& work, const Image& source, const Job& job,
                            const color::Separation& separation) {
    FaceResult& result = work.result;
    const ProofMaker maker(work, source, job, separation);
    FinishedProof proof = maker.proof();
    if (job.style == Style::color) {
        maker.finish(proof);
        result.proof_ink = separation.ink(proof.picture, proof.trim_px, proof.picture.ppi());
        return proof;
    }
    const Image& gray = maker.gray();
    Image proof_gray = filters::gray(proof.on_face);
    std::vector<Guard> guard(result.text.size(), Guard::usual);
    int lost = judge_lines(result.text, gray, proof_gray, job);
    for (const Guard stronger : {Guard::strong, Guard::whole}) {
        if (lost == 0) break;
        std::vector<Guard> tried = guard;
        for (std::size_t i = 0; i < tried.size(); ++i) {
            const TextLine& line = result.text[i];
            if (!line.kept.value_or(true) && plan::must_be_kept(line, job.text)) {
                tried[i] = stronger;
            }
        }
        FinishedProof again = maker.proof(tried);
        Image again_gray = filters::gray(again.on_face);
        std::vector<TextLine> lines = result.text;
        const int still = judge_lines(lines, gray, again_gray, job);
        if (still >= lost) continue;
        lost = still;
        guard = std::move(tried);
        proof = std::move(again);
        proof_gray = std::move(again_gray);
        result.text = std::move(lines);
    }
    for (TwinCore& core : work.cores) core.code = mean_code(proof_gray, core.core_px);
    maker.finish(proof);
    result.proof_ink = separation.ink(proof.picture, proof.trim_px, proof.picture.ppi());
    result.proof_as_rgb = total_as_rgb(proof.picture, proof.trim_px, separation);
    result.edge_similarity = survey::edge_similarity(gray, proof_gray);
    plan::tell_repaired(result.findings, result.text, job.text);
    std::ranges::move(plan::lost_findings(result.name, result.text, job.text),
                      std::back_inserter(result.findings));
    if (result.proof_ink->total > work.plan.ink_budget) {
        const StyleInput face{.source = source,
                              .trimmed = intersection(result.placement.trim_px, source.bounds()),
                              .text = result.text,
                              .guard = guard};
        // A tint proof over its budget is its text alone, in all inks.
        const double text =
            job.style == Style::tint ? result.proof_ink->total : least_text_coverage(face);
        if (auto missed = plan::budget_finding(result.name, result.proof_ink->total,
                                               work.plan.ink_budget, text)) {
            result.findings.push_back(std::move(*missed));
        }
    }
    return proof;
}

}  // namespace paleproof::app
