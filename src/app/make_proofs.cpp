// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>
#include <iterator>
#include <span>
#include <string>

#include "app/content_hash.h"
#include "app/face_work.h"
#include "app/parallel.h"
#include "codec/pack.h"
#include "codec/read_face.h"
#include "codec/thumbnail.h"
#include "filters/bleed.h"
#include "filters/gray.h"
#include "filters/lighten.h"
#include "filters/text_guard.h"
#include "plan/judgement.h"
#include "survey/text/proof_text.h"

namespace paleproof::app {
namespace {

constexpr int thumbnail_width = 360;

/// The pixels that the first pass kept, or the file read once more.
Face taken_pixels(FaceWork& work, const DeckFace& entry, const Job& job, MemoryBudget& memory) {
    if (work.pixels) {
        Face face = std::move(*work.pixels);
        work.pixels.reset();
        memory.release(face.image.bytes().size());
        return face;
    }
    Face face =
        codec::read_face(entry.source,
                         {.max_pixels = static_cast<std::uint64_t>(job.max_megapixels * 1e6)})
            .face;
    face.image.set_ppi(work.result.placement.ppi);
    return face;
}

/// The gray proof within its budget: what the guarded text takes is taken from the picture.
Image gray_proof(const Image& source, RectPx trimmed, double ink_budget,
                 std::span<const TextLine> text) {
    const Image gray = filters::gray(source);
    if (ink_budget >= 1.0) return gray;
    constexpr int tries = 4;
    double picture_budget = ink_budget;
    Image proof = gray;
    for (int i = 0; i < tries; ++i) {
        proof = filters::text_guard(
            gray, filters::lighten(gray, {.ink_budget = picture_budget, .area = trimmed}), text);
        const double over = filters::coverage(proof, trimmed) - ink_budget;
        if (over <= 0.001) break;
        picture_budget = std::max(0.0, picture_budget - over);
    }
    return proof;
}

Image proof_of(const Image& source, const Job& job, RectPx trimmed, double ink_budget,
               std::span<const TextLine> text) {
    return job.style == Style::color ? source : gray_proof(source, trimmed, ink_budget, text);
}

void make_proof(FaceWork& work, const DeckFace& entry, const Job& job,
                const color::Separation& separation, OutputFolder& out, MemoryBudget& pixels,
                MemoryBudget& packed_memory) {
    const Face face = taken_pixels(work, entry, job, pixels);
    FaceResult& result = work.result;
    const plan::FacePlan& plan = work.plan;
    const RectPx trimmed = intersection(result.placement.trim_px, face.image.bounds());

    const Image proof = proof_of(face.image, job, trimmed, plan.ink_budget, result.text);
    result.proof_ink = separation.ink(proof, trimmed, result.placement.ppi);
    if (job.style == Style::gray) {
        const Image gray = filters::gray(face.image);
        for (TextLine& line : result.text) {
            if (const auto contrast = survey::contrast_in_proof(gray, proof, line)) {
                plan::judge_kept(line, *contrast, job.text);
            }
        }
        std::ranges::move(plan::lost_findings(entry.name, result.text, job.text),
                          std::back_inserter(result.findings));
        if (auto missed =
                plan::budget_finding(entry.name, result.proof_ink->total, plan.ink_budget)) {
            result.findings.push_back(std::move(*missed));
        }
    }

    const Image finished = filters::bleed(proof, {plan.bleed_px, plan.bleed_method});
    result.bleed_method = {
        std::string(name(plan.bleed_method.top)), std::string(name(plan.bleed_method.right)),
        std::string(name(plan.bleed_method.bottom)), std::string(name(plan.bleed_method.left))};
    result.proof_thumbnail = codec::thumbnail(finished, thumbnail_width);
    result.proof_thumbnail.frame = {-plan.bleed_px.left, -plan.bleed_px.top, finished.width(),
                                    finished.height()};

    result.proof_file = "faces/" + entry.name + ".png";
    PackedImage packed = codec::packed(finished);
    codec::write_png(out.staged(result.proof_file), packed);
    work.proof_hash = content_hash(packed.zlib);
    work.proof_channels = packed.channels;
    work.proof_bits = packed.bits;
    if (packed_memory.take(packed.zlib.size())) {
        work.packed = std::move(packed);
    }
}

}  // namespace

void make_proofs(std::vector<FaceWork>& faces, const Deck& deck, const Job& job,
                 const color::Separation& separation, OutputFolder& out, MemoryBudget& pixels,
                 MemoryBudget& packed, const Progress& progress) {
    for_each_index(faces.size(), job.threads, "proofs", progress, [&](std::size_t i) {
        if (faces[i].survey)
            make_proof(faces[i], deck.faces[i], job, separation, out, pixels, packed);
    });
}

}  // namespace paleproof::app
