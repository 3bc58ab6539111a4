// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <system_error>
#include <utility>
#include <vector>

#include "app/cache.h"
#include "app/content_hash.h"
#include "app/face_names.h"
#include "app/face_pixels.h"
#include "app/face_work.h"
#include "app/heat.h"
#include "app/look.h"
#include "app/parallel.h"
#include "app/proof_check.h"
#include "codec/group4.h"
#include "codec/pack.h"
#include "codec/pdf_pixels.h"
#include "codec/thumbnail.h"
#include "core/error.h"
#include "filters/corners.h"
#include "survey/cut.h"
#include "survey/text/reader.h"

namespace paleproof::app {
namespace {

constexpr int thumbnail_width = 320;

/// The pixels that the first pass kept, or the file read once more.
Face taken_pixels(FaceWork& work, const DeckFace& entry, const Job& job, MemoryBudget& memory) {
    if (work.pixels) {
        Face face = std::move(*work.pixels);
        work.pixels.reset();
        memory.release(face.image.bytes().size());
        return face;
    }
    Face face = std::move(pixels_of(read_file(entry), entry, job).read.face);
    face.image.set_ppi(work.result.placement.ppi);
    return face;
}

Thumbnail picture_of_cut(const Image& picture, const TrimPlacement& place,
                         const survey::CutEffect& effect) {
    return codec::thumbnail(survey::cut_out(picture, survey::moved_trim(place, effect)),
                            thumbnail_width);
}

/// Paper that the same cut would show beside the proof.
Mm white_in_proof(const CutResult& cut, const Edges<Mm>& bleed) {
    // The bleed of a proof is whole pixels, at least what was asked for.
    const double most =
        std::max({-cut.down.value - bleed.top.value, cut.right.value - bleed.right.value,
                  cut.down.value - bleed.bottom.value, -cut.right.value - bleed.left.value, 0.0});
    return Mm{cut.white.value > 0.0 ? most : 0.0};
}

/// What the making of a proof leaves in a FaceWork.
struct ProofEntry {
    FaceResult result;
    std::optional<CutPicture> worst_cut;
    std::vector<TwinCore> cores;
    std::string proof_hash;
    std::string file_hash;  ///< of faces/NAME.png
    int channels = 1;
    int bits = 8;
    SizePx size;
    bool group4 = false;
    std::string look;
    std::string source_look;
};

/// Takes over the proof that the edition has now, when it was made from the same.
bool take_over(FaceWork& work, const std::string& key, OutputFolder& out, Cache& cache,
               MemoryBudget& packed_memory) {
    ProofEntry known;
    if (!cache.load(key, known)) return false;
    const std::filesystem::path file = cache.out() / known.result.proof_file;
    try {
        if (content_hash_of_file(file) != known.file_hash) return false;
        PackedImage packed = codec::packed_from_png(file);
        const std::filesystem::path staged = out.staged(known.result.proof_file);
        std::error_code fault;
        std::filesystem::create_hard_link(file, staged, fault);
        if (fault) out.write(known.result.proof_file, codec::encoded_png(packed));
        if (known.group4) packed = codec::as_group4(packed, known.result.proof_file);
        if (packed_memory.take(packed.zlib.size())) work.packed = std::move(packed);
    } catch (const Error&) {
        return false;
    }
    known.result.source = work.result.source;
    known.result.copies = work.result.copies;
    known.result.back = work.result.back;
    work.result = std::move(known.result);
    work.worst_cut = std::move(known.worst_cut);
    // Twins may have been numbered anew since.
    for (TwinCore& core : work.cores) {
        const auto same = std::ranges::find_if(known.cores, [&core](const TwinCore& c) {
            return c.box_px == core.box_px && c.color == core.color;
        });
        if (same != known.cores.end()) core.code = same->code;
    }
    work.proof_hash = known.proof_hash;
    work.proof_channels = known.channels;
    work.proof_bits = known.bits;
    work.proof_px = known.size;
    work.proof_group4 = known.group4;
    work.look = known.look;
    work.source_look = known.source_look;
    cache.count_reused();
    return true;
}

void make_proof(FaceWork& work, const DeckFace& entry, const Job& job,
                const color::Separation& separation, survey::TextReaders* readers,
                OutputFolder& out, MemoryBudget& pixels, MemoryBudget& packed_memory,
                Cache& cache) {
    // All that is read below is in the key.
    const std::string key = proof_key(work, job);
    if (take_over(work, key, out, cache, packed_memory)) {
        if (work.pixels) pixels.release(work.pixels->image.bytes().size());
        work.pixels.reset();
        return;
    }
    Face face = taken_pixels(work, entry, job, pixels);
    FaceResult& result = work.result;
    const plan::FacePlan& plan = work.plan;

    face.image.set_ppi(result.placement.ppi);
    result.source_thumbnail = codec::thumbnail(face.image, thumbnail_width);
    result.source_thumbnail.frame = face.image.bounds();
    result.source_heat = heat_of(face.image, separation);
    result.source_heat.frame = result.source_thumbnail.frame;
    if (work.worst_cut) {
        work.worst_cut->source =
            picture_of_cut(face.image, result.placement, work.survey->cut.worst);
    }
    const RectPx trimmed = intersection(result.placement.trim_px, face.image.bounds());
    if (!trimmed.empty()) face.image = filters::corners(face.image, {trimmed, plan.corner_px});
    if (!trimmed.empty()) {
        work.source_look = look_of(face.image, trimmed, result.placement.trim);
    }
    const FinishedProof proof = checked_proof(work, face.image, job, separation, readers);

    if (result.cut) result.cut->proof_white = white_in_proof(*result.cut, plan.bleed_mm);
    if (work.worst_cut) {
        TrimPlacement cut = result.placement;
        cut.trim_px = proof.trim_px;
        cut.ppi = proof.picture.ppi();
        work.worst_cut->proof = picture_of_cut(proof.picture, cut, work.survey->cut.worst);
    }
    result.bleed_method = {
        std::string(name(plan.bleed_method.top)), std::string(name(plan.bleed_method.right)),
        std::string(name(plan.bleed_method.bottom)), std::string(name(plan.bleed_method.left))};
    result.proof_thumbnail = codec::thumbnail(proof.picture, thumbnail_width);
    result.proof_thumbnail.frame = proof.extent;
    result.proof_heat = heat_of(proof.picture, separation);
    result.proof_heat.frame = proof.extent;

    result.proof_file = proof_file(entry.name);
    PackedImage packed = codec::packed(proof.picture);
    std::string file_hash;
    {
        const std::vector<std::uint8_t> png = codec::encoded_png(packed);
        file_hash = content_hash(png);
        out.write(result.proof_file, png);
    }
    work.proof_hash = content_hash(packed.zlib);
    work.proof_channels = packed.channels;
    work.proof_bits = packed.bits;
    if (packed.bits == 1) {
        std::vector<std::uint8_t> group4 = codec::group4(proof.picture);
        work.proof_group4 = group4.size() < packed.zlib.size();
        if (work.proof_group4) {
            packed.zlib = std::move(group4);
            packed.group4 = true;
        }
    }
    work.look = look_of(proof.picture, proof.trim_px, result.placement.trim);
    work.proof_px = proof.picture.size();
    cache.store(key, ProofEntry{.result = result,
                                .worst_cut = work.worst_cut,
                                .cores = work.cores,
                                .proof_hash = work.proof_hash,
                                .file_hash = file_hash,
                                .channels = work.proof_channels,
                                .bits = work.proof_bits,
                                .size = work.proof_px,
                                .group4 = work.proof_group4,
                                .look = work.look,
                                .source_look = work.source_look});
    if (packed_memory.take(packed.zlib.size())) {
        work.packed = std::move(packed);
    }
}

}  // namespace

void make_proofs(std::vector<FaceWork>& faces, const Deck& deck, const Job& job,
                 const color::Separation& separation, OutputFolder& out, ReportFiles& report_files,
                 MemoryBudget& pixels, MemoryBudget& packed, const Progress& progress,
                 Cache& cache) {
    std::optional<survey::TextReaders> readers;
    if (job.read && job.style != Style::color) readers.emplace(job.read_language);
    for_each_index(faces.size(), job.threads, "proofs", progress, [&](std::size_t i) {
        if (!faces[i].survey) return;
        make_proof(faces[i], deck.faces[i], job, separation, readers ? &*readers : nullptr, out,
                   pixels, packed, cache);
        report_files.keep(faces[i].result, i);
        faces[i].survey.reset();
    });
}

}  // namespace paleproof::app
