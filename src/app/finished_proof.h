// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "app/face_work.h"
#include "app/styles.h"
#include "core/image.h"

namespace paleproof::app {

/// A proof as it is written, and what is needed to measure it.
struct FinishedProof {
    Image picture;   ///< trim + bleed, at the resolution of the style
    RectPx trim_px;  ///< where the trim lies in it
    Image on_face;   ///< as large as the source, its pixels over those of the source
    RectPx extent;   ///< of the picture, in pixels of the source
};

/// How strongly each line and each symbol of a face is guarded; empty = all as usual.
struct Guards {
    std::vector<Guard> text;     ///< in the order of FaceResult::text
    std::vector<Guard> symbols;  ///< in the order of FaceResult::symbols
    bool operator==(const Guards&) const = default;
};

/// Makes the proof of a face in the job's style, as often as its text needs it. Most styles are
/// made on the source and get their bleed at the end; drawn styles are made on the source with its
/// bleed. What it is given must outlive it.
class ProofMaker {
  public:
    ProofMaker(const FaceWork& work, const Image& source, const Job& job,
               const color::Separation& inks);

    /// The source in gray, against which a proof is measured; empty for style color.
    [[nodiscard]] const Image& gray() const { return gray_; }
    /// The picture may still lack its bleed.
    [[nodiscard]] FinishedProof proof(const Guards& guards = {}) const;
    /// Completes the picture of the proof that was chosen.
    void finish(FinishedProof& proof) const;

  private:
    [[nodiscard]] FinishedProof drawn_proof(const Guards& guards) const;

    const FaceWork& work_;
    const Image& source_;
    const Job& job_;
    const color::Separation& inks_;
    Image gray_;
    Image tone_;  ///< the source through the gray map of the deck, for style gray
    Image wide_;  ///< the source with its bleed, for drawn styles
};

}  // namespace paleproof::app
