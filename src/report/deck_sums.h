// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <vector>

#include "core/result.h"

namespace paleproof::report {

/// Sums over a deck that JSON, CSV and HTML share, so that the three never disagree.
struct DeckSums {
    int cards = 0;   ///< sum of copies
    int sheets = 0;  ///< pages of the first sheet file; the others repeat them
    int errors = 0;  ///< findings, of faces and of the deck
    int warnings = 0;
    int notes = 0;
    /// Mean coverage over the printed area, and the highest peak; none when nothing was measured.
    std::optional<InkUse> source_ink;
    std::optional<InkUse> proof_ink;
    std::optional<double> saved;  ///< share of the source's ink, see ink_saved
};

/// How often each face is printed: its copies, and once for each card whose back it is.
[[nodiscard]] std::vector<int> printed_sides(const std::vector<FaceResult>& faces);

/// Area of the trimmed card in mm2.
[[nodiscard]] double trim_area_mm2(const FaceResult& face);

/// 1 - proof / source in total ink: 0.8 = four fifths saved, negative when the proof takes more;
/// 0 when the source takes none.
[[nodiscard]] double ink_saved(const InkUse& source, const InkUse& proof);

[[nodiscard]] DeckSums deck_sums(const EditionResult& edition);

}  // namespace paleproof::report
