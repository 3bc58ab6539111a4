// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/proof_check.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdlib>
#include <iterator>
#include <optional>
#include <utility>
#include <vector>

#include "app/mark_symbols.h"
#include "filters/gray.h"
#include "plan/judgement.h"
#include "survey/similarity.h"
#include "survey/symbol_parts.h"
#include "survey/text/proof_text.h"

namespace paleproof::app {
namespace {

/// By how much better a line must be seen that stays lost, before a stronger guard is worth what of
/// the art it brings along.
constexpr double least_gain = 0.15;

/// What became of the text and the symbols of a face in a proof.
struct Judged {
    std::vector<TextLine> text;
    std::vector<Symbol> symbols;
    std::vector<double> text_seen;     ///< how well each line is seen, 0..1
    std::vector<double> symbols_seen;  ///< and each symbol

    explicit Judged(const FaceResult& face)
        : text(face.text),
          symbols(face.symbols),
          text_seen(face.text.size(), 1.0),
          symbols_seen(face.symbols.size(), 1.0) {}

    [[nodiscard]] bool lost(const TextLine& line, const Job& job) const {
        return !line.kept.value_or(true) && plan::must_be_kept(line, job.text);
    }
    [[nodiscard]] static bool lost(const Symbol& symbol) { return !symbol.kept.value_or(true); }
    [[nodiscard]] bool any_lost(const Job& job) const {
        return std::ranges::any_of(text, [&](const TextLine& line) { return lost(line, job); }) ||
               std::ranges::any_of(symbols, [](const Symbol& symbol) { return lost(symbol); });
    }
};

/// What can be seen of something: what of it was found on ground that is clear, less as it is
/// fainter than 3 : 1.
double seen(double found, double clear, double contrast) {
    constexpr double plain = 3.0;  // WCAG 2.2, large text
    return found * clear * std::min(1.0, contrast / plain);
}

/// A mark that was cut out as symbols is kept when they are. False when it was not, or none of them
/// could be looked for.
bool judge_by_symbols(TextLine& mark, const std::vector<Symbol>& symbols) {
    if (!made_of_symbols(mark, symbols)) return false;
    bool any = false;
    for (const Symbol& symbol : symbols) {
        if (!symbol.kept || !holds(mark, symbol)) continue;
        mark.kept = mark.kept.value_or(true) && *symbol.kept;
        mark.proof_contrast =
            std::min(mark.proof_contrast.value_or(21.0), symbol.proof_contrast.value_or(21.0));
        any = true;
    }
    return any;
}

void judge(Judged& face, const Image& source, const Image& gray, const Image& proof,
           const Job& job) {
    for (std::size_t i = 0; i < face.symbols.size(); ++i) {
        Symbol& symbol = face.symbols[i];
        symbol.kept.reset();
        symbol.proof_contrast.reset();
        if (const auto found = survey::symbol_in_proof(source, proof, symbol)) {
            plan::judge_kept(symbol, *found, job.text);
            face.symbols_seen[i] = seen(found->found, found->clear, found->contrast);
        }
    }
    for (std::size_t i = 0; i < face.text.size(); ++i) {
        TextLine& line = face.text[i];
        line.kept.reset();
        line.proof_contrast.reset();
        if (judge_by_symbols(line, face.symbols)) continue;
        if (const auto found = survey::line_in_proof(gray, proof, line)) {
            plan::judge_kept(line, *found, job.text);
            face.text_seen[i] = seen(found->found, found->clear, found->contrast);
        }
    }
}

/// The middle gray code that a proof has on the pixels of an area that have the area's color: halos
/// and signs that lie on it do not count.
std::optional<double> code_of_area(const Image& source, const Image& proof, const TwinCore& core) {
    constexpr int near = 24;  // codes, of each channel
    if (source.encoding() != Encoding::srgb) return std::nullopt;
    const RectPx box = intersection(intersection(core.box_px, source.bounds()), proof.bounds());
    std::array<std::uint64_t, 256> count{};
    std::uint64_t all = 0;
    for (int y = box.y; y < box.bottom(); ++y) {
        const std::uint8_t* in = source.row(y) + 3 * box.x;
        const std::uint8_t* out = proof.row(y);
        for (int x = box.x; x < box.right(); ++x, in += 3) {
            if (std::abs(in[0] - core.color.r) <= near && std::abs(in[1] - core.color.g) <= near &&
                std::abs(in[2] - core.color.b) <= near) {
                ++count[out[x]];
                ++all;
            }
        }
    }
    if (all == 0) return std::nullopt;
    std::uint64_t below = 0;
    for (std::size_t code = 0; code < count.size(); ++code) {
        below += count[code];
        if (2 * below >= all) return static_cast<double>(code);
    }
    return std::nullopt;
}

/// What a gray picture would take if it were sent as RGB, as many people do.
std::optional<double> total_as_rgb(const Image& picture, RectPx trim,
                                   const color::Separation& separation) {
    const RectPx area = intersection(trim, picture.bounds());
    if (picture.encoding() == Encoding::srgb || area.empty()) return std::nullopt;
    // Four counts by turns: one alone would wait for itself wherever neighbors are alike.
    std::array<std::array<std::uint32_t, 256>, 4> counts{};
    for (int y = area.y; y < area.bottom(); ++y) {
        const std::uint8_t* row = picture.row(y);
        for (int x = area.x; x < area.right(); ++x) ++counts[static_cast<unsigned>(x) % 4][row[x]];
    }
    double sum = 0.0;
    for (std::size_t i = 0; i < 256; ++i) {
        const double count =
            static_cast<double>(counts[0][i]) + counts[1][i] + counts[2][i] + counts[3][i];
        if (count == 0.0) continue;
        const auto v = static_cast<std::uint8_t>(i);
        sum += count * separation.separated({v, v, v}).total();
    }
    return sum / (static_cast<double>(area.width) * area.height);
}

/// A proof, and how text and symbols came out in it. Each line and each symbol that was lost is
/// tried with stronger guards, and keeps the one in which it is seen best, the gentler one of
/// equals.
class GuardedProof {
  public:
    Guards guards;        ///< that were kept
    FinishedProof proof;  ///< made with them
    Image gray;           ///< the same on the face, in gray
    Judged judged;

    GuardedProof(const ProofMaker& maker, const FaceResult& face, const Image& source,
                 const Job& job)
        : guards{std::vector<Guard>(face.text.size(), Guard::usual),
                 std::vector<Guard>(face.symbols.size(), Guard::usual)},
          judged(face),
          maker_(maker),
          face_(face),
          source_(source),
          job_(job) {
        make(guards);
        Guards made = guards;
        for (const Guard stronger : {Guard::strong, Guard::whole, Guard::local}) {
            if (!judged.any_lost(job)) break;
            made = try_guard(stronger);
        }
        if (made != guards) make(guards);
    }

  private:
    const ProofMaker& maker_;
    const FaceResult& face_;
    const Image& source_;
    const Job& job_;

    void make(const Guards& how) {
        proof = maker_.proof(how);
        gray = filters::gray(proof.on_face);
        judged = Judged(face_);
        judge(judged, source_, maker_.gray(), gray, job_);
    }

    /// Makes the proof with this guard for what is lost; where that does not help, the guard stays
    /// as it was. The guards that the proof was made with.
    Guards try_guard(Guard stronger) {
        Guards tried = guards;
        for (std::size_t i = 0; i < tried.text.size(); ++i) {
            if (judged.lost(judged.text[i], job_)) tried.text[i] = stronger;
        }
        for (std::size_t i = 0; i < tried.symbols.size(); ++i) {
            if (Judged::lost(judged.symbols[i])) tried.symbols[i] = stronger;
        }
        const Judged before = std::move(judged);
        make(tried);
        for (std::size_t i = 0; i < tried.text.size(); ++i) {
            if (tried.text[i] == guards.text[i]) continue;
            if (judged.lost(judged.text[i], job_) &&
                judged.text_seen[i] <= before.text_seen[i] + least_gain) {
                judged.text[i] = before.text[i];
                judged.text_seen[i] = before.text_seen[i];
            } else {
                guards.text[i] = stronger;
            }
        }
        for (std::size_t i = 0; i < tried.symbols.size(); ++i) {
            if (tried.symbols[i] == guards.symbols[i]) continue;
            if (Judged::lost(judged.symbols[i]) &&
                judged.symbols_seen[i] <= before.symbols_seen[i]) {
                judged.symbols[i] = before.symbols[i];
                judged.symbols_seen[i] = before.symbols_seen[i];
            } else {
                guards.symbols[i] = stronger;
            }
        }
        return tried;
    }
};

/// Told when a proof takes more ink than its budget, with the least that its text takes.
std::optional<Finding> missed_budget(const FaceWork& work, const Image& source, const Job& job,
                                     const std::vector<Guard>& guards) {
    const FaceResult& result = work.result;
    const double total = result.proof_ink->total;
    if (total <= work.plan.ink_budget) return std::nullopt;
    const StyleInput face{.source = source,
                          .trimmed = intersection(result.placement.trim_px, source.bounds()),
                          .text = result.text,
                          .symbols = result.symbols,
                          .guard = guards};
    // Letters of drawn proofs are solid, and those of a tint proof are counted in all inks: over
    // its budget such a proof is its text alone.
    const double text = job.style == Style::gray ? least_text_coverage(face) : total;
    return plan::budget_finding(result.name, total, work.plan.ink_budget, text);
}

}  // namespace

FinishedProof checked_proof(FaceWork& work, const Image& source, const Job& job,
                            const color::Separation& separation, survey::TextReaders* readers) {
    FaceResult& result = work.result;
    const ProofMaker maker(work, source, job, separation);
    if (job.style == Style::color) {
        FinishedProof proof = maker.proof();
        maker.finish(proof);
        result.proof_ink = separation.ink(proof.picture, proof.trim_px, proof.picture.ppi());
        return proof;
    }
    GuardedProof made(maker, result, source, job);
    FinishedProof& proof = made.proof;
    result.text = std::move(made.judged.text);
    result.symbols = std::move(made.judged.symbols);
    if (readers != nullptr) readers->read_again(made.gray, result.text);
    for (TwinCore& core : work.cores) core.code = code_of_area(source, made.gray, core);
    maker.finish(proof);
    result.proof_ink = separation.ink(proof.picture, proof.trim_px, proof.picture.ppi());
    result.proof_as_rgb = total_as_rgb(proof.picture, proof.trim_px, separation);
    result.edge_similarity = survey::edge_similarity(maker.gray(), made.gray);
    plan::tell_repaired(result.findings, result.text, job.text);
    std::ranges::move(plan::lost_findings(result.name, result.text, result.symbols, job.text),
                      std::back_inserter(result.findings));
    if (auto missed = missed_budget(work, source, job, made.guards.text)) {
        result.findings.push_back(std::move(*missed));
    }
    return std::move(made.proof);
}

}  // namespace paleproof::app
