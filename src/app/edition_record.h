// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "color/gray_table.h"
#include "core/deck.h"
#include "core/geometry.h"
#include "core/legend.h"
#include "core/result.h"

namespace paleproof::app {

/// One face as edition.json records it: enough to impose it again and to tell whether it changed.
struct RecordedFace {
    std::string name;
    std::string source;
    std::string source_hash;  ///< of the file's bytes
    std::string proof;        ///< "faces/NAME.png", "" when the face could not be read
    std::string proof_hash;   ///< of the proof's compressed pixels
    int copies = 1;
    std::optional<std::size_t> back;  ///< index into faces
    SizeMm trim;
    Edges<Mm> bleed;
    SizePx proof_px;
    int channels = 1;
    int bits = 8;
    double ink = 0.0;     ///< total coverage of the proof, 0..4; 0 also when it was not recorded
    bool group4 = false;  ///< 1-bit: CCITT Group 4 is smaller than `proof` and stands in PDFs
    std::string look{};   ///< digest of the trimmed proof, see app/look.h; "" = not recorded
    std::string card_hash{};    ///< of all that determines the printed card, see set_card_hashes()
    std::string source_look{};  ///< the same digest of the source: proofs also follow the deck
};

/// edition.json: what was made from what.
struct EditionRecord {
    std::string title;
    std::string edition;  ///< short name that tells editions apart: "gray 3f9a2c"
    std::vector<Setting> settings;
    std::vector<RecordedFace> faces;
    /// What the patterns of the proofs stand for: set on the first sheet; empty when none is used.
    std::vector<LegendEntry> legend;
    /// The map that the deck's proofs were grayed by; in style gray only.
    std::optional<color::GrayTable> gray_map;
    std::vector<std::string> files;  ///< all files of the edition, relative to its folder
};

inline constexpr int record_format = 1;

/// Fills card_hash of all faces, from the proof's pixels, its size, copies, the settings that shape
/// the look, and the back's pixels; and `edition` from all of these.
void set_card_hashes(EditionRecord& record);

[[nodiscard]] std::string record_json(const EditionRecord& record);

/// Reads OUT/edition.json. Error{file} when there is none; Error{format} when it is damaged, of
/// another format, or names files outside of the folder.
[[nodiscard]] EditionRecord read_record(const std::filesystem::path& out);
/// The same for an edition.json anywhere, which is named as the folder or the file.
[[nodiscard]] EditionRecord read_record_at(const std::filesystem::path& file);

}  // namespace paleproof::app
