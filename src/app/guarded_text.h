// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "app/styles.h"
#include "filters/letters.h"
#include "filters/text_guard.h"

namespace paleproof::app {

/// The letters and symbols of a face, each line cut out and marked as strongly as it is guarded. A
/// mark whose box holds symbols is cut out as these. Symbols that would take more than their share
/// of the ink budget are left out, solid ones before figures on fields, of each the largest first
/// and all of about its size with it: the picture shows them.
[[nodiscard]] std::vector<filters::Letters> guarded_letters(const StyleInput& face);

/// The text and the symbols of a face, cut out as strongly as each line needs it, ready to be set
/// on a proof.
class GuardedText {
  public:
    explicit GuardedText(const StyleInput& face);

    /// Takes the letters' ink down, no further than they can be read, when they alone take more
    /// than `budget` over `trimmed`; returns the coverage that they then take.
    double fit(double budget, RectPx trimmed);
    /// The face's gray without the letters.
    [[nodiscard]] Image cleared(const Image& gray) const;
    /// Where the ground of the letters is paper, 255 = all.
    [[nodiscard]] const Image& halo() const { return halo_; }
    /// A gray proof with the letters set on it.
    [[nodiscard]] Image set_on(const Image& proof) const;

  private:
    SizePx size_;
    std::vector<filters::Letters> letters_;
    filters::TextGuard how_;
    Image halo_;
};

}  // namespace paleproof::app
