// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <string>

#include "app/content_hash.h"
#include "app/face_work.h"
#include "app/parallel.h"
#include "app/proof_check.h"
#include "codec/pack.h"
#include "codec/read_face.h"
#include "codec/thumbnail.h"

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

void make_proof(FaceWork& work, const DeckFace& entry, const Job& job,
                const color::Separation& separation, OutputFolder& out, MemoryBudget& pixels,
                MemoryBudget& packed_memory) {
    const Face face = taken_pixels(work, entry, job, pixels);
    FaceResult& result = work.result;
    const plan::FacePlan& plan = work.plan;

    const FinishedProof proof = checked_proof(work, face.image, job, separation);

    result.bleed_method = {
        std::string(name(plan.bleed_method.top)), std::string(name(plan.bleed_method.right)),
        std::string(name(plan.bleed_method.bottom)), std::string(name(plan.bleed_method.left))};
    result.proof_thumbnail = codec::thumbnail(proof.picture, thumbnail_width);
    result.proof_thumbnail.frame = {-plan.bleed_px.left, -plan.bleed_px.top, proof.extent.width,
                                    proof.extent.height};

    result.proof_file = "faces/" + entry.name + ".png";
    PackedImage packed = codec::packed(proof.picture);
    codec::write_png(out.staged(result.proof_file), packed);
    work.proof_hash = content_hash(packed.zlib);
    work.proof_channels = packed.channels;
    work.proof_bits = packed.bits;
    work.proof_px = proof.picture.size();
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
